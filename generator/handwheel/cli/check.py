"""`handwheel check`."""

from __future__ import annotations

import argparse

from handwheel.cli.main import FINE, UNUSABLE, add_shop
from handwheel.cli.report import FORMS, open_library, say, tell


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    add_shop(sub)
    sub.add_argument(
        "--format", choices=FORMS, default="text", help="text for people, json for machines, or annotations"
    )


def run(options: argparse.Namespace) -> int:
    """Read and judge; say all of it."""
    library, messages = open_library(options)
    tell(messages, options.format)
    if library is None:
        return UNUSABLE
    counts = {plural: len(found) for plural, found in library.kinds.items() if found}
    say(", ".join(f"{count} {plural.replace('_', ' ')}" for plural, count in counts.items()))
    return FINE
