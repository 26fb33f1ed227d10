"""LinkChecker's own command, less the work that a walk over our pages does not need. Runs in a process of its own.

Of each page only the elements that can name a file are kept (`KEPT`); without that most of the time goes into a tree of
every element and into the text within each. Left out are `action`, `background`, `cite`, `style` and the like, which no
page of ours has: its security policy forbids most of them, and our own reading of every page holds the rest.
"""

from __future__ import annotations

from functools import partial

KEPT = (
    *("a", "area", "audio", "base", "embed", "iframe", "img", "input", "link", "meta"),
    *("object", "script", "source", "track", "video"),
)


def main() -> None:
    """Walk as the options of LinkChecker say."""
    from bs4 import BeautifulSoup  # noqa: PLC0415 - only the process that walks pays for it
    from bs4.filter import SoupStrainer  # noqa: PLC0415
    from linkcheck import log  # noqa: PLC0415
    from linkcheck.command import linkchecker  # noqa: PLC0415
    from linkcheck.htmlutil import htmlsoup  # noqa: PLC0415

    strainer = SoupStrainer(list(KEPT))
    htmlsoup.bs4.BeautifulSoup = partial(BeautifulSoup, parse_only=strainer)
    log.debug = lambda *_, **__: None  # a million calls on a site of 800 pages, none of them heard
    linkchecker.drop_privileges = lambda: None  # run by root it would become a user who may not read the build
    linkchecker.linkchecker()
