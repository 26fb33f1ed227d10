"""`handwheel export`."""

from __future__ import annotations

import argparse
from pathlib import Path

from handwheel.cli.building import made_site
from handwheel.cli.main import FINE, add_shop
from handwheel.cli.report import say
from handwheel.desk.whole_folders import written_whole
from handwheel.pages.export import ensure_empty, export


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    add_shop(sub)
    sub.add_argument("--to", type=Path, default=Path("export"), help="empty or new folder to write into (export)")
    sub.add_argument("--name", default="Restoration notes", help="name of the site in its configuration")


def run(options: argparse.Namespace) -> int:
    """Write pages and navigation as plain files that build without handwheel."""
    ensure_empty(options.to)
    site = made_site(options)
    if isinstance(site, int):
        return site
    with written_whole(options.to) as folder:
        count = export(site, folder, options.name)
    say(f"{count} files in {options.to}; build them there with: mkdocs build")
    return FINE
