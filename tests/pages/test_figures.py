"""Drawings that are put into a page: lines and words pass, whatever could run or fetch does not."""

from __future__ import annotations

import pytest

from handwheel.reading.drawings import is_plain_drawing

PLAIN = (
    '<svg viewBox="0 0 9 9"><title>A lamp</title><g fill="none"><path d="M0 0h9"/><text x="1" y="2">a</text></g></svg>'
)
HOSTILE = [
    "<script>alert(1)</script>",
    "<SCRIPT>alert(1)</SCRIPT>",
    "<svg:script>alert(1)</svg:script>",
    '<path d="M0 0" onload="alert(1)"/>',
    '<path d="M0 0"\nONCLICK = "alert(1)"/>',
    '<path/onmouseover="alert(1)"/>',
    '<path d="M0 0"onclick="alert(1)"/>',
    '<a href="https://example.org"><path d="M0 0"/></a>',
    '<use href="other.svg#x"/>',
    '<image href="https://example.org/x.png"/>',
    "<foreignObject><p>x</p></foreignObject>",
    "<style>path{fill:red}</style>",
    '<path style="fill:red"/>',
    '<path fill="url(https://example.org/#x)"/>',
    '<animate attributeName="x"/>',
    "<!-- a comment -->",
    "<!DOCTYPE svg>",
    "<text>&#60;script&#62;</text>",
    "<g>",
    '<path d="M0 0/>',
    "</svg>",
    '<path xlink:href="javascript:alert(1)"/>',
]


def test_lines_and_words_pass() -> None:
    """A drawing as the shop makes them."""
    assert is_plain_drawing(PLAIN)


@pytest.mark.parametrize("bad", HOSTILE)
def test_whatever_could_run_or_fetch_is_refused(bad: str) -> None:
    """One hostile piece in a drawing that is plain without it."""
    assert not is_plain_drawing(PLAIN.replace("</g>", f"{bad}</g>"))


def test_another_file_is_no_drawing() -> None:
    """Text, and HTML."""
    assert not is_plain_drawing("a lamp") and not is_plain_drawing("<p>a lamp</p>")
