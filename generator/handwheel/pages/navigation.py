"""The navigation and the files of a site in the form that renderers of Markdown folders expect."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from handwheel.pages.site import NavItem

Nav = list[str | dict[str, "str | Nav"]]
Stamp = tuple[tuple[str, int, int], ...]


def source_of(path: str) -> str:
    """The Markdown file that a page is built from, `parts/lamp.md` for `parts/lamp.html`."""
    return path.removesuffix(".html") + ".md"


def nav_data(items: tuple[NavItem, ...], write: Callable[[str], str] = str) -> Nav:
    """A navigation as data for a `mkdocs.yml`; a section's own page stands first in it.

    >>> nav_data((NavItem("Start", "index.html"), NavItem("Parts", "parts.html", (NavItem("Lamp", "lamp.html"),))))
    [{'Start': 'index.md'}, {'Parts': ['parts.md', {'Lamp': 'lamp.md'}]}]
    """
    return [{write(item.title): _inside(item, write)} for item in items]


def _inside(item: NavItem, write: Callable[[str], str]) -> str | Nav:
    if not item.children:
        return source_of(item.path)
    own: Nav = [source_of(item.path)] if item.path else []
    return own + nav_data(item.children, write)


def nav_titles(items: tuple[NavItem, ...]) -> dict[str, str]:
    """Titles in the navigation by path; the keys are the pages that it leads to."""
    found: dict[str, str] = {}
    for item in items:
        found |= {item.path: item.title} if item.path else {}
        found |= nav_titles(item.children)
    return found


def stamp_of(folders: Sequence[str | Path]) -> Stamp:
    """Names, times and sizes of all files in the folders: while it stays, so does the site made of them."""
    files = (path for folder in folders for path in sorted(Path(folder).rglob("*")) if path.is_file())
    return tuple((str(path), path.stat().st_mtime_ns, path.stat().st_size) for path in files)
