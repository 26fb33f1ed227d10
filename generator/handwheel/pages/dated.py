"""What each page says of the state of its content: its last change; on Home and Checks the revision of all of it."""

from __future__ import annotations

from dataclasses import replace

from markupsafe import Markup

from handwheel.pages.site import Page
from handwheel.reading.history import History

WITH_REVISION = ("index.html", "checks.html")


def dated(page: Page, history: History) -> Page:
    """The page with the day on which what it is made from was last changed, where that is known.

    A page put together from many files has the newest day of all.
    """
    lines = []
    if page.path in WITH_REVISION:
        lines.append(Markup("Revision <code>{}</code>").format(history.digest))
    if day := history.of(page.source):
        lines.append(Markup('Last changed <time datetime="{}">{}</time>').format(day, day))
    if not lines:
        return page
    told = Markup('<p class="hw-made">{}</p>').format(Markup(", ").join(lines))
    return replace(
        page, html=str(page.html) + str(told), changed=day
    )  # of a plain text and Markup, the sum would be escaped
