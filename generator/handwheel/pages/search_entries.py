"""The index that the theme's search reads, from our own entries: nothing is parsed out of HTML."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from handwheel.pages.site import SearchEntry, Site


def entries_of(site: Site) -> Iterator[SearchEntry]:
    """Each entry of a site once, by location; a page's own entry stands before those of places on it.

    The theme files a place under its page, so a page that states places only gets an entry too.
    """
    titles = {page.path: page.title for page in site.pages}
    seen: set[str] = set()
    for entry in (entry for page in site.pages for entry in page.search):
        path = entry.location.partition("#")[0]
        if path != entry.location and path not in seen:
            seen.add(path)
            yield SearchEntry(path, titles.get(path, entry.title), "")
        if entry.location not in seen:
            seen.add(entry.location)
            yield entry


def index_documents(site: Site) -> list[dict[str, str]]:
    """A site's entries in the form of the theme's index, which takes title and text as HTML."""
    return [
        {
            "location": entry.location,
            "title": escape(entry.title, quote=False),
            "text": escape(entry.text, quote=False),
        }
        for entry in entries_of(site)
    ]
