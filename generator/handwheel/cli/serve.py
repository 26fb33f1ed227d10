"""`handwheel serve`."""

from __future__ import annotations

import argparse

from handwheel.cli.building import add_config, config_of
from handwheel.cli.main import FINE, add_shop
from handwheel.records.errors import HandwheelError


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    add_shop(sub)
    add_config(sub)
    sub.add_argument("--at", metavar="HOST:PORT", help="where to show it (127.0.0.1:8000)")


def run(options: argparse.Namespace) -> int:
    """Show the site and build it anew at each change, until stopped."""
    from handwheel.pages.mkdocs_adapter import content_folders, serve_site  # noqa: PLC0415 - as in build

    config = config_of(options)
    folders = content_folders(config)
    if options.shop.resolve() not in [folder.resolve() for folder in folders]:
        raise HandwheelError(f"{config} does not name {options.shop} under 'folders:'; add it there, or use --config")
    serve_site(config, options.at)
    return FINE
