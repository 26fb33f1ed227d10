"""`handwheel build`."""

from __future__ import annotations

import argparse
from pathlib import Path

from handwheel.cli.building import add_config, config_of, made_site, timed
from handwheel.cli.main import FINE, add_shop
from handwheel.cli.report import say


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    add_shop(sub)
    add_config(sub)
    sub.add_argument("--to", type=Path, help="folder to write the site into (as mkdocs.yml says, else site)")


def run(options: argparse.Namespace) -> int:
    """Read, check, make the pages, and have them put into the theme's frame."""
    from handwheel.pages.mkdocs_adapter import build_site  # noqa: PLC0415 - loading MkDocs takes most of a second

    config = config_of(options)
    site = made_site(options)
    if isinstance(site, int):
        return site
    with timed(f"render {len(site.pages)} pages"):
        folder = build_site(config, site, options.to)
    say(f"the site lies in {folder}")
    return FINE
