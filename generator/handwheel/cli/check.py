"""`handwheel check`."""

from __future__ import annotations

import argparse
import gc
from collections.abc import Iterator
from contextlib import contextmanager

from handwheel.checks.report import Report
from handwheel.checks.runner import run as judge
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
    report = judge(library)
    _tell(library, messages, report, options.format)
    return STOPPED if report.stops else FINE


def _tell(library: Library, messages: Messages, report: Report, form: str) -> None:
    if form == "json":
        print(document(messages, report), end="")
    else:
        tell(with_findings(messages, report), form)
    counts = {plural: len(found) for plural, found in library.kinds.items() if found}
    say(", ".join(f"{count} {plural.replace('_', ' ')}" for plural, count in counts.items()))
    say(summary(report))
