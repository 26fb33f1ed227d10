"""Notes on this machine: what was written down at the bench, listed and handed out by the browser."""

from __future__ import annotations

from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk
from handwheel.pages.site import Page, SearchEntry

PATH, TITLE = "notes.html", "Notes on this machine"
LEDE = "What was noted and measured at the steps. It stays on this device until it is handed out as one file."


def notes_page(desk: Desk) -> Page:
    """The page; it has nothing to show without a script, and says so."""
    here = desk.at(PATH)
    html = rendered("notes", home=here.to(""), title=TITLE, lede=LEDE)
    return Page(PATH, TITLE, html, description=LEDE, search=(SearchEntry(PATH, TITLE, LEDE),))
