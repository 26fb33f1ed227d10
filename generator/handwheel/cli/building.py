"""What the commands that make pages have in common."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from handwheel.checks.runner import run
from handwheel.checks.telling import summary, with_findings
from handwheel.cli.main import STOPPED, UNUSABLE
from handwheel.cli.report import open_library, say, tell
from handwheel.pages.build import site_of
from handwheel.pages.site import Site
from handwheel.reading.messages import Messages
from handwheel.reading.reporters import as_text
from handwheel.records.errors import HandwheelError, InputErrors


def add_config(sub: argparse.ArgumentParser) -> None:
    """The option that names a mkdocs.yml."""
    sub.add_argument("--config", type=Path, help="mkdocs.yml to use (the shop's own, else the one here)")


def config_of(options: argparse.Namespace) -> Path:
    """The mkdocs.yml that a command works with; read and judged before the work begins.

    Raises:
        HandwheelError: there is none.
        InputErrors: it cannot be used as it stands.
    """
    path = _config_file(options)
    from handwheel.desk.site_config import judge_config  # noqa: PLC0415 - loading MkDocs takes most of a second

    messages = Messages()
    judge_config(path, messages)
    if messages.errors:
        raise InputErrors(messages.errors, as_text(messages).rstrip())
    return path


def _config_file(options: argparse.Namespace) -> Path:
    beside = [options.shop / "mkdocs.yml", options.shop.parent / "mkdocs.yml", Path("mkdocs.yml")]
    tried: list[Path] = [options.config] if options.config else list(dict.fromkeys(beside))
    for path in tried:
        if path.is_file():
            return path
    raise HandwheelError(f"no mkdocs.yml at {' or '.join(map(str, tried))}; name one with --config")


def made_site(options: argparse.Namespace) -> Site | int:
    """The site of the shop that the options name; an exit code when it cannot be made, and that was said."""
    with timed("read"):
        library, messages = open_library(options)
    if library is None:
        tell(messages, "text")
        say("nothing was written")
        return UNUSABLE
    with timed("check"):
        report = run(library)
    tell(with_findings(messages, report), "text")
    if report.stops:
        say(summary(report))
        say("nothing was written")
        return STOPPED
    with timed("resolve and write pages"):
        return site_of(library, report, say)


@contextmanager
def timed(what: str) -> Iterator[None]:
    """Say how long a part of the work took."""
    start = time.perf_counter()
    yield
    say(f"{what}: {time.perf_counter() - start:.2f} s")
