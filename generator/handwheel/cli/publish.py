"""`handwheel publish`."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from handwheel.cli.building import add_config, config_of
from handwheel.cli.main import FINE, STOPPED, UNUSABLE, add_library, shop_folder
from handwheel.cli.report import open_library, say, tell
from handwheel.desk.outside_links import Outside, accepted_in
from handwheel.desk.placing import KEEP, LOCK, Place, back, prepare
from handwheel.desk.publish_summary import as_json, as_markdown, as_text
from handwheel.desk.publishing import Publishing, Wish
from handwheel.desk.taking_turns import alone
from handwheel.pages.site import Site
from handwheel.records.errors import HandwheelError

ACCEPTED = "links.yaml"
"""Beside the mkdocs.yml: addresses whose failure is accepted, each with its reason."""
CACHE = ".handwheel-links.json"


def add_options(sub: argparse.ArgumentParser) -> None:
    """Options of this command."""
    sub.add_argument("target", nargs="?", type=Path, help="folder that a web server serves; a link is made there")
    sub.add_argument("shop", nargs="?", type=shop_folder, default="", help="the shop's folder (the one here)")
    add_library(sub)
    add_config(sub)
    sub.add_argument("--no-place", action="store_true", help="do all but put it in place; no target is needed")
    sub.add_argument("--back", action="store_true", help="serve the release before the one that is served, no more")
    sub.add_argument("--keep", type=int, default=KEEP, metavar="N", help="releases to keep (%(default)s)")
    sub.add_argument("--wait", type=float, default=0, metavar="SECONDS", help="how long to wait for another publishing")
    sub.add_argument("--no-walk", action="store_true", help="leave LinkChecker's walk out; every link is read still")
    sub.add_argument("--json", action="store_true", help="what was done as JSON on standard output")
    sub.add_argument("--summary", metavar="VARIABLE", help="environment variable that names a file to add a summary to")
    _add_outside(sub)


def _add_outside(sub: argparse.ArgumentParser) -> None:
    sub.add_argument("--outside", action="store_true", help="ask for the links to other hosts, too")
    sub.add_argument("--timeout", type=float, default=20, metavar="SECONDS", help="for each address (%(default)s)")
    sub.add_argument("--tries", type=int, default=3, metavar="N", help="for each address (%(default)s)")
    sub.add_argument("--days", type=float, default=7, metavar="N", help="how long an answer holds (%(default)s)")


def run(options: argparse.Namespace) -> int:
    """Publish, or go back to the release before."""
    if options.no_place and options.target and not options.shop and options.target.is_dir():
        options.target, options.shop = None, shop_folder(str(options.target))
    if not options.no_place and not options.target:
        raise HandwheelError("name the folder that the web server serves, or say --no-place")
    place = None if options.no_place else Place(Path(os.path.abspath(options.target)))  # noqa: PTH100 - links stay
    if options.back:
        return _back(place, options.wait)
    if not isinstance(options.shop, Path):
        options.shop = shop_folder("")
    return _publish(options, place)


def _back(place: Place | None, wait: float) -> int:
    if place is None:
        raise HandwheelError("--back needs a target")
    prepare(place)
    with alone(place.releases / LOCK, wait):
        say(f"{place.target} serves {back(place).name}")
    return FINE


def _publish(options: argparse.Namespace, place: Place | None) -> int:
    config = config_of(options)
    library, messages = open_library(options)
    tell(messages, "text")
    if library is None:
        say("nothing was put in place")
        return UNUSABLE

    from handwheel.pages.mkdocs_adapter import build_site, site_base  # noqa: PLC0415 - loading MkDocs takes time

    def build(site: Site, folder: Path) -> object:
        return build_site(config, site, folder)

    base, outside = site_base(config), _outside(options, config.parent)
    wish = Wish(place, options.keep, options.wait, not options.no_walk, base, outside)
    work = Publishing(library, build, wish, say)
    stages = work.run()
    say(as_text(stages))
    if options.json:
        sys.stdout.write(as_json(stages) + "\n")
    if options.summary:
        _add_summary(options.summary, as_markdown(stages))
    return FINE if work.went_well else STOPPED


def _outside(options: argparse.Namespace, folder: Path) -> Outside | None:
    if not options.outside:
        return None
    listed = folder / ACCEPTED
    accepted = accepted_in(listed) if listed.exists() else {}
    return Outside(folder / CACHE, options.days, options.timeout, options.tries, accepted=accepted)


def _add_summary(variable: str, text: str) -> None:
    """To the end of the file, where the host collects what each step has to say."""
    name = os.environ.get(variable)
    if not name:
        say(f"{variable} names no file; the summary is above")
        return
    with Path(name).open("a", encoding="utf-8") as file:
        file.write(text)
