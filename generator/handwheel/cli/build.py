"""`handwheel build`."""

from __future__ import annotations

import argparse
from pathlib import Path

from handwheel.cli.building import add_config, config_of, made_site, timed
from handwheel.cli.main import FINE, add_shop
from handwheel.cli.report import say
from handwheel.desk.whole_folders import written_whole


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    add_shop(sub)
    add_config(sub)
    sub.add_argument("--to", type=Path, help="folder to write the site into (as mkdocs.yml says, else site)")


def run(options: argparse.Namespace) -> int:
    """Read, check, make the pages, and have them put into the theme's frame."""
    from handwheel.pages.mkdocs_adapter import build_site, site_folder  # noqa: PLC0415 - MkDocs takes most of a second

    config = config_of(options)
    target = options.to or site_folder(config)
    site = made_site(options)
    if isinstance(site, int):
        return site
    with timed(f"render {len(site.pages)} pages"), written_whole(target) as folder:
        build_site(config, site, folder)
    say(f"the site lies in {target}")
    return FINE
