"""A theme's page, rendered once with marks in it and then only filled.

Pages out of the navigation differ in a few places only: title, description, address, content. A
frame is the rendered page cut at marks for those places, so the theme's templates run once for
each depth of folder and not once for each page.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

START, END = "\x02", "\x03"
"""Control characters: no template and no text of ours contains them."""


@dataclass(frozen=True)
class Frame:
    """Texts and names of places, in turn, a text first."""

    parts: tuple[str, ...]


def mark(place: str) -> str:
    """What to render where `place` is to be filled later.

    >>> fill(frame_of("<title>" + mark("title") + "</title>"), {"title": "Lamp"})
    '<title>Lamp</title>'
    """
    return f"{START}{place}{END}"


def squeezed(rendered: str) -> str:
    """A rendered page without the blank lines and indents that templates leave, a third of a theme's frame.

    For HTML in which no element keeps its blanks, as the theme's frame.

    >>> squeezed("<ul>\\n\\n    <li>a b\\n  </ul>")
    '<ul>\\n<li>a b\\n</ul>'
    """
    return re.sub(r"\s*\n\s*", "\n", rendered)


def frame_of(rendered: str) -> Frame:
    """Cut a rendered page at its marks."""
    return Frame(tuple(re.split(f"{START}([a-z]+){END}", rendered)))


def fill(frame: Frame, fields: Mapping[str, str]) -> str:
    """The page with all of its places filled; a place without a field is an error."""
    return "".join(fields[part] if index % 2 else part for index, part in enumerate(frame.parts))
