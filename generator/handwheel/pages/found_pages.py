"""The page of the machine as found, and the scripts and data that show every procedure for it."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.pages import identify_pages
from handwheel.pages.environment import rendered
from handwheel.pages.found_data import data_scripts
from handwheel.pages.here import Desk
from handwheel.pages.own_assets import FOLDER, FOUND
from handwheel.pages.site import Asset, Page, SearchEntry

PATH, TITLE = "found.html", "The machine on the bench, as found"
LEDE = "What it is, which of its parts are not its own, and the work that holds for it."


def found_page(desk: Desk) -> Page:
    """The page; without a script it leads to the patterns."""
    here = desk.at(PATH)
    html = rendered(
        "found",
        home=here.to(""),
        title=TITLE,
        lede=LEDE,
        identify=here.to(identify_pages.PATH),
        families=[here.link("families", each) for each in desk.library.families],
    )
    return Page(PATH, TITLE, html, description=LEDE, search=(SearchEntry(PATH, TITLE, LEDE),))


def found_assets(desk: Desk) -> Iterator[Asset]:
    """Data scripts, loaded where they are needed, and the script of every page."""
    for path, text in data_scripts(desk):
        if path:
            yield Asset(path, text)
        else:
            yield Asset(f"assets/{FOUND}", text + (FOLDER / "elements.js").read_bytes() + (FOLDER / FOUND).read_bytes())
