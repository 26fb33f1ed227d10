"""`handwheel schema`."""

from __future__ import annotations

import argparse
from pathlib import Path

from handwheel.cli.main import FINE
from handwheel.cli.report import say
from handwheel.desk.schema_files import schema_text, write_schema
from handwheel.records.errors import HandwheelError


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument(
        "--write",
        nargs="+",
        type=Path,
        metavar="FOLDER",
        help="write it into the first folder, and into each content file of the folders the line that names it",
    )


def run(options: argparse.Namespace) -> int:
    """Print the schema, or write it where editors find it."""
    if not options.write:
        print(schema_text(), end="")
        return FINE
    for folder in options.write:
        if not folder.is_dir():
            raise HandwheelError(f"{folder} is no folder")
    for path in write_schema(options.write):
        say(f"wrote {path}")
    return FINE
