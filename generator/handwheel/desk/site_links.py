"""Every link inside a built site, judged on the files that a reader gets: files, anchors, pictures, styles, scripts.

Two judges, since each misses something: LinkChecker walks from the home page as a browser does; our own reading takes
every page, also those that nothing leads to, and holds every link and anchor against the names and ids that are there.
"""

from __future__ import annotations

import posixpath
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from urllib.parse import unquote, urlsplit

from lxml import html

from handwheel.desk.placing import files_of

_NAMES = {"href": ("a", "area", "link", "use"), "src": ("img", "script", "iframe", "source", "audio", "video", "track")}
_ANYWHERE = "404.html"
"""The one page that is served at every depth: its links start from the server's root, by `site_url` of mkdocs.yml."""
_NO_PLACE = ("mailto", "tel", "data", "javascript", "blob")


@dataclass(frozen=True, order=True)
class Link:
    """One link as it stands in a page."""

    page: str
    line: int
    target: str


@dataclass(frozen=True, order=True)
class BadLink:
    """A link that leads nowhere."""

    page: str
    line: int
    """In the page's HTML."""
    target: str
    what: str
    source: str = ""
    """File and line of the content that the page was made from, where that is one place."""
    by: str = "handwheel"
    """Who found it."""

    @property
    def sentence(self) -> str:
        """One line for people."""
        made = f", made from {self.source}" if self.source else ""
        return f"{self.page}:{self.line}: '{self.target}': {self.what}{made}"


_PARSER = html.HTMLParser(encoding="utf-8", huge_tree=True, remove_comments=True)


def _read_page(page: str, content: bytes) -> tuple[tuple[Link, ...], frozenset[str]]:
    """Links and ids of a page, by libxml2."""
    if not content.strip():
        return (), frozenset()
    links, ids = list[Link](), set[str]()
    for value in html.document_fromstring(content, parser=_PARSER).xpath("//@href | //@src | //@id | //a/@name"):
        holder, name = value.getparent(), value.attrname
        if name in ("id", "name"):
            ids.add(str(value))
        elif holder.tag in _NAMES[name]:
            links.append(Link(page, holder.sourceline or 0, str(value).strip()))
    return tuple(links), frozenset(ids)


@dataclass(frozen=True)
class BuiltSite:
    """The files of a built site."""

    folder: Path
    base: str = "/"
    """Where `site_url` lets the site stand on its server; only the page for wrong addresses starts its links there."""

    @cached_property
    def files(self) -> frozenset[str]:
        """Paths of all files from the site's root."""
        return frozenset(files_of(self.folder))

    @cached_property
    def pages(self) -> Mapping[str, tuple[tuple[Link, ...], frozenset[str]]]:
        """Links and ids of each page."""
        pages = (path for path in sorted(self.files) if path.endswith(".html"))
        return {path: _read_page(path, (self.folder / path).read_bytes()) for path in pages}

    @property
    def links(self) -> Iterator[Link]:
        """All links, page by page."""
        for links, _ in self.pages.values():
            yield from links


def is_outside(target: str) -> bool:
    """Whether a link leads to another host."""
    return urlsplit(target).scheme in ("http", "https") or target.startswith("//")


def bad_links(site: BuiltSite, sources: Mapping[str, str]) -> list[BadLink]:
    """Links inside the site that lead nowhere; `sources` gives the place in the content for a page."""
    told = ((link, _wrong(site, link)) for link in site.links if not is_outside(link.target))
    return sorted(
        {BadLink(each.page, each.line, each.target, what, sources.get(each.page, "")) for each, what in told if what}
    )


def _wrong(site: BuiltSite, link: Link) -> str:
    """What is wrong with a link; empty where nothing is."""
    try:
        parts = urlsplit(link.target)
    except ValueError:
        return "no address"
    if parts.scheme in _NO_PLACE:
        return ""
    rooted = parts.path.startswith("/")
    if parts.scheme or (rooted and link.page != _ANYWHERE):
        return "not relative, so it breaks where the site is served under a folder"
    if rooted and not parts.path.startswith(site.base):
        return f"not under {site.base}, where 'site_url' lets the site stand"
    path = _resolved(link.page, unquote(parts.path.removeprefix(site.base) if rooted else parts.path))
    if rooted and parts.path == site.base:
        path = "index.html"
    if path not in site.files:
        return f"there is no {path}" if not path.startswith("..") else "it leads out of the site"
    anchor = unquote(parts.fragment)
    if anchor and path in site.pages and anchor not in site.pages[path][1]:
        return f"there is no '{anchor}' on {path}"
    return ""


def _resolved(page: str, path: str) -> str:
    """The file that a relative link names; a folder stands for its index.html."""
    if not path:
        return page
    found = posixpath.normpath(posixpath.join(posixpath.dirname(page), path))
    return posixpath.join(found, "index.html").removeprefix("./") if path.endswith(("/", ".")) else found
