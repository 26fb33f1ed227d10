"""`handwheel check`."""

from __future__ import annotations

import argparse
import gc
from collections.abc import Iterator
from contextlib import contextmanager

from handwheel.checks.bench import Bench
from handwheel.checks.counts import counts
from handwheel.checks.registry import all_rules
from handwheel.checks.report import Report
from handwheel.checks.runner import judge
from handwheel.checks.telling import document, summary, with_findings
from handwheel.cli.main import FINE, STOPPED, UNUSABLE, add_shop
from handwheel.cli.report import FORMS, open_library, say, tell
from handwheel.reading.messages import Messages
from handwheel.records.library import Library


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    add_shop(sub)
    sub.add_argument(
        "--format", choices=FORMS, default="text", help="text for people, json for machines, or annotations"
    )
    sub.add_argument(
        "--counts",
        action="store_true",
        help="print, too, how many parts come back, forms change a step, and settings are set somewhere",
    )


def run(options: argparse.Namespace) -> int:
    """Read and judge; say all of it."""
    with unswept():
        return _run(options)


@contextmanager
def unswept() -> Iterator[None]:
    """No search for cycles in memory meanwhile: a command that ends soon frees it all at once."""
    before = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if before:
            gc.enable()


def _run(options: argparse.Namespace) -> int:
    library, messages = open_library(options)
    if library is None:
        tell(messages, options.format)
        return UNUSABLE
    bench = Bench(library)
    with bench.runs.shared():
        report = judge(bench, all_rules())
    _tell(library, messages, report, options.format)
    if options.counts:
        tell_it = print if options.format == "text" else say  # standard output is for machines otherwise
        tell_it("\n".join(count.line for count in counts(library, bench.sites, bench.forks)))
    return STOPPED if report.stops else FINE


def _tell(library: Library, messages: Messages, report: Report, form: str) -> None:
    if form == "json":
        print(document(messages, report), end="")
    else:
        tell(with_findings(messages, report), form)
    kinds = {plural: len(found) for plural, found in library.kinds.items() if found}
    say(", ".join(f"{count} {plural.replace('_', ' ')}" for plural, count in kinds.items()))
    say(summary(report))
