"""A made-up site that shows every shared component, for the browser tests and for the eye."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from handwheel.pages.environment import environment
from handwheel.pages.own_assets import own_assets
from handwheel.pages.site import NavItem, Page, SearchEntry, Site, TocEntry

HERE = Path(__file__).parent


def make_site(folders: Sequence[Path]) -> Site:
    """Home, a page in the navigation, and the guide itself twice: at the root and two folders down."""
    guide = environment().from_string((HERE / "style_guide.html").read_text("utf-8")).render()
    found = SearchEntry("guide.html#lamp-off", "Undo the 2 bracket screws", "Holds for: pattern B, pattern D")
    pages = (
        Page("index.html", "Bench notes", '<h1>Bench notes</h1><p><a href="guide.html">Guide</a></p>'),
        Page("words.html", "Words", '<h1>Words</h1><h2 id="a">A</h2>', toc=(TocEntry("a", "A"),)),
        Page("guide.html", "Take the lamp off", guide, search=(found,)),
        Page("deep/down/guide.html", "Take the lamp off", guide),
    )
    nav = (NavItem("Home", "index.html"), NavItem("Tables", "", (NavItem("Words", "words.html"),)))
    return Site(pages, nav, own_assets())
