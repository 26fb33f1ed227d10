"""Prose as HTML: emphasis, links and values; everything else is text."""

from __future__ import annotations

from collections.abc import Callable

from markupsafe import Markup, escape

from handwheel.pages.addresses import find_page
from handwheel.records.library import Library
from handwheel.records.prose_marks import MARK
from handwheel.records.values import Text


def prose_html(
    library: Library, text: Text, to: Callable[[str], str], value: Callable[[str, str], Markup] | None = None
) -> Markup:
    """A text as HTML.

    Args:
        library: Records that the marks lead to.
        text: The text as written.
        to: Address of a path from the root.
        value: What a quoted value `<word id>` shows; by default the record's name as a link.
    """
    made = Markup("")
    end = 0
    for found in MARK.finditer(text.raw):
        made += escape(text.raw[end : found.start()])
        end = found.end()
        if found["strong"] is not None:
            made += Markup("<em>{}</em>").format(found["strong"])
        elif value is not None and found["word"] != "see":
            made += value(found["word"], found["id"] or "")
        else:
            made += _linked(library, found["id"] or "", to, found[0])
    return made + escape(text.raw[end:])


def _linked(library: Library, identifier: str, to: Callable[[str], str], written: str) -> Markup:
    page = find_page(library, identifier)
    if page is None:
        return escape(written)
    return Markup('<a href="{}">{}</a>').format(to(page[0]), page[1])
