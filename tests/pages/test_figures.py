"""Drawings that are put into a page: lines and words pass, whatever could run or fetch does not."""

from __future__ import annotations

import pytest

from handwheel.pages.figures import drawn_once
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


def test_a_drawing_that_stands_twice_is_in_the_page_once() -> None:
    """The second is taken from the first; what stands once is left alone."""
    other = '<figure class="hw-figure" aria-label="b"><svg viewBox="0 0 1 1"><path d="M1 1h9"/></svg></figure>'
    figure = f'<figure class="hw-figure" aria-label="a">{PLAIN}</figure>'
    made = drawn_once(f"<p>x</p>{figure}{other}{figure}<p>y</p>{figure}")
    assert made.count('<path d="M0 0h9"/>') == 1
    assert made.count('<g id="hw-drawing-1">') == 1
    assert made.count('<use href="#hw-drawing-1"/></svg>') == 2
    assert made.count("<title>A lamp</title>") == 3
    assert other in made
    assert drawn_once(f"{figure}{other}") == f"{figure}{other}"
