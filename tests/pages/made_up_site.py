"""A small made-up site for the tests of floor 6, and the callable that the adapter is pointed at."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from handwheel.pages.site import Asset, NavItem, Page, SearchEntry, Site, TocEntry
from handwheel.records.errors import HandwheelError

CALLS: list[Sequence[Path]] = []


def site() -> Site:
    """Two pages in the navigation, one deep page out of it, one style sheet."""
    home = Page("index.html", "Home & bench", "<h1>Home</h1>\n\n<p>*not emphasis* <b>bold</b></p>\n\n<pre>a\n  b</pre>")
    lamp = Page(
        "parts/lamp.html",
        "Lamp",
        '<h1 id="lamp">Lamp</h1><p><a href="../variants/early/strip.html#frame-off">used by</a></p>',
        toc=(TocEntry("lamp", "Lamp"),),
        description='A lamp, "hinged"',
        search=(SearchEntry("parts/lamp.html", "Lamp <hinged>", "gives light & heat"),),
    )
    strip = Page(
        "variants/early/strip.html",
        "Strip the winder",
        '<h1>Strip</h1><ol><li id="frame-off">Undo <a href="../../parts/lamp.html">it</a></li></ol>',
        search=(
            SearchEntry("variants/early/strip.html#frame-off", "Undo it", "Holds for: early"),
            SearchEntry("variants/early/strip.html#frame-off", "Undo it", "said twice"),
        ),
    )
    nav = (NavItem("Start", "index.html"), NavItem("Parts", "", (NavItem("The lamp", "parts/lamp.html"),)))
    return Site((home, lamp, strip), nav, (Asset("assets/own.css", b"body{}"),))


def make_site(folders: Sequence[Path]) -> Site:
    """What `handwheel.pages.build.make_site` is to the adapter; a file named `wrong.yaml` is wrong content."""
    CALLS.append(folders)
    for folder in folders:
        if (folder / "wrong.yaml").exists():
            raise HandwheelError("wrong.yaml:1:1: unknown key 'fform'; did you mean 'form'?")
    return site()
