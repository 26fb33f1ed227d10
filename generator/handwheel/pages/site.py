"""A finished site as plain values: pages, navigation, assets. No renderer is known here.

A page's `path` is the file it becomes, from the site's root (`variants/early.html`). Every
link in its HTML is relative, so that the site opens from any folder of a server and from the
file system alike: `to_root(page.path) + other.path`. Pages of one depth share their links,
so a fragment made once serves all of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass


@dataclass(frozen=True)
class SearchEntry:
    """One hit of the search: a page, or a place on it."""

    location: str
    """From the site's root, with an anchor where the hit is a place on a page: `steps/x.html#y`."""
    title: str
    """Plain text."""
    text: str
    """Plain text; for a shared step it ends with the machines for which the step holds."""


@dataclass(frozen=True)
class TocEntry:
    """One line of a page's own contents list."""

    anchor: str
    title: str
    """Plain text."""
    children: tuple[TocEntry, ...] = ()


@dataclass(frozen=True)
class Page:
    """One finished page: all of its own HTML, none of the frame around it."""

    path: str
    """Ends in `.html`; lower-case letters, digits, `-`, `.` and `/` only."""
    title: str
    """Plain text."""
    html: str
    """From its `<h1>` on."""
    toc: tuple[TocEntry, ...] = ()
    description: str = ""
    """Plain text, one sentence."""
    search: tuple[SearchEntry, ...] = ()
    """What the search finds on it; empty: the page is not searched."""
    source: str = ""
    """Where it was written, `file:line`; empty where it was put together from many places."""
    changed: str = ""
    """The day on which what it is made from was last changed; empty where that is not known."""


@dataclass(frozen=True)
class NavItem:
    """A page of the navigation, or a section of it."""

    title: str
    path: str = ""
    """Of the page; empty for a section that has no page of its own."""
    children: tuple[NavItem, ...] = ()


@dataclass(frozen=True)
class Asset:
    """A file that is copied as it is."""

    path: str
    content: bytes


@dataclass(frozen=True)
class Site:
    """All that a renderer needs. A page that `nav` does not lead to stays out of the navigation tree."""

    pages: tuple[Page, ...]
    nav: tuple[NavItem, ...] = ()
    assets: tuple[Asset, ...] = ()


def to_root(path: str) -> str:
    """The way from the page at `path` up to the site's root: empty, or `../` for each folder.

    >>> to_root("index.html"), to_root("variants/early/strip-lamp.html")
    ('', '../../')
    """
    return "../" * path.count("/")


def link(page: str, target: str) -> str:
    """The relative link from the page at `page` to `target`, a path from the root with or without an anchor.

    >>> link("variants/early.html", "parts/lamp.html#bulb")
    '../parts/lamp.html#bulb'
    """
    return to_root(page) + target


def nav_paths(nav: tuple[NavItem, ...]) -> Iterator[str]:
    """Paths of all pages that a navigation leads to, in order."""
    for item in nav:
        if item.path:
            yield item.path
        yield from nav_paths(item.children)
