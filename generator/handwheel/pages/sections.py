"""Pages of many records of one sort: a section each, with its facts, its texts and who uses it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from markupsafe import Markup

from handwheel.pages.addresses import anchor_of, page_of, title_of
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk, Fact, Here, Link
from handwheel.pages.site import Page, SearchEntry, TocEntry
from handwheel.records.kinds import Record


@dataclass(frozen=True)
class Section:
    """One record as it stands on a page."""

    anchor: str
    title: str
    facts: list[Fact]
    texts: list[Markup]
    used: list[Link]
    figure: Markup
    search: str


@dataclass(frozen=True)
class Chapter:
    """Sections of one kind under a heading of their own."""

    title: str
    sections: list[Section]
    lede: str = ""


_FIGURE = re.compile(r"<figure\b.*?</figure>", re.DOTALL)

Describe = Callable[[Here, Record], tuple[list[Fact], list[Markup]]]


def section(here: Here, plural: str, record: Record, describe: Describe, figure: Markup) -> Section:
    """A record's section; the search finds it by its facts and texts."""
    pairs, texts = describe(here, record)
    words = " ".join([*(_words(value) for _, value in pairs), *(text.striptags() for text in texts)])
    return Section(
        anchor_of(plural, record.id),
        title_of(record),
        pairs,
        [text for text in texts if text],
        here.used_by(plural, record.id),
        figure,
        words,
    )


def _words(value: str) -> str:
    """What a fact says, without its figures: they are found by the words beside them."""
    return Markup(_FIGURE.sub("", value)).striptags()


def chapters_page(desk: Desk, path: str, title: str, lede: str, chapters: Iterable[Chapter]) -> Page:
    """A page of chapters."""
    full = [chapter for chapter in chapters if chapter.sections]
    html = rendered("sections", title=title, lede=lede, chapters=full, home=desk.at(path).to(""))
    entries = [SearchEntry(f"{path}#{each.anchor}", each.title, each.search) for c in full for each in c.sections]
    toc = tuple(
        TocEntry(
            f"chapter-{index}", chapter.title, tuple(TocEntry(each.anchor, each.title) for each in chapter.sections)
        )
        for index, chapter in enumerate(full, 1)
    )
    return Page(path, title, html, toc, lede, (SearchEntry(path, title, lede), *entries))


__all__ = ["Chapter", "Section", "chapters_page", "page_of", "section"]
