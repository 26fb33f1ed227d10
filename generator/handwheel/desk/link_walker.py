"""LinkChecker's own command, with two costs taken out of it. Runs in a process of its own.

A page is parsed by libxml2 instead of in Python, and a link that stands on many pages of one folder is judged once:
from the same folder the same words lead to the same place, and our own reading names every page that bears it. Which
elements can name a file, what their addresses mean, and whether they are there, stays LinkChecker's judgement.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable
from typing import Any

from lxml import html

Found = Callable[..., None]
Finder = Callable[[Found], Any]
"""LinkChecker's reading of one element after the other, which tells what it found."""


def once_in_folder(found: Found, folder: str, seen: set[tuple[str, str, str]]) -> Found:
    """Tell of a link only if no page of this folder had it."""

    def tell(url: str | None, **where: Any) -> None:
        key = folder, str(where.get("base") or ""), (url or "").partition("#")[0]
        if key not in seen:
            seen.add(key)
            found(url, **where)

    return tell


def read_elements(content: bytes, finder: Any) -> None:
    """Hand each element of a page to LinkChecker's finder, with its line."""
    if content.strip():
        for each in html.document_fromstring(content, parser=html.HTMLParser(encoding="utf-8", huge_tree=True)).iter():
            if isinstance(each.tag, str) and each.attrib:
                attributes = {str(key): str(value) for key, value in each.attrib.items()}
                finder.html_element(each.tag, attributes, "", each.sourceline or 0, None)


def main() -> None:
    """Walk as the options of LinkChecker say."""
    from linkcheck import log, parser  # noqa: PLC0415 - only the process that walks pays for it
    from linkcheck.command import linkchecker  # noqa: PLC0415
    from linkcheck.htmlutil import linkparse  # noqa: PLC0415

    seen: set[tuple[str, str, str]] = set()

    def parse_html(page: Any) -> None:
        page.content_encoding = "utf-8"
        found = once_in_folder(page.add_url, posixpath.dirname(page.url), seen)
        read_elements(page.get_raw_content(), linkparse.LinkFinder(found, linkparse.LinkTags))

    parser.parse_html = parse_html
    log.debug = lambda *_, **__: None  # a million calls on a site of 800 pages, none of them heard
    linkchecker.drop_privileges = lambda: None  # run by root it would become a user who may not read the build
    linkchecker.linkchecker()
