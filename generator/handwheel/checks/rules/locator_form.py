"""A place in a source that cannot be looked up there, or a measurement that does not say when.

What it proves:
    The place in a cited source has the form that its kind needs. A standard: clause, table, annex, figure or page. A
    handbook, government publication or paper: page, chapter, section, table, figure, class, or `under` a
    heading. It is judged where the
    source was seen; of others a place can only be a remark. A shop measurement and what another restorer told need no
    place; the one has a day (`date`) and an instrument, the other its year (`edition`).

Why it matters at the bench:
    A figure that looks wrong is looked up again. "On nickel" is no place in a book, and a reading without a day and an
    instrument cannot be held against the next.

Failing example:
    sources:
      pull-book: {title: Pull notes, kind: shop measurement, by: T. R., read: seen}
    blades:
      narrow:
        {name: narrow blade, thickness: 0.5 mm, width: 3 mm, sources: [pull-book, {source: tips, at: the thin one}]}
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], blade: narrow}

Passing example:
    sources:
      pull-book: {title: Pull notes, kind: shop measurement, date: 2026-02-03, instrument: spring scale, read: seen}
    blades:
      narrow: {name: narrow blade, thickness: 0.5 mm, width: 3 mm, sources: [pull-book, {source: tips, at: table 1}]}
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], blade: narrow}

How to mend it:
    Write `at: p. 12`, `at: table 1` or `at: clause 4.2`, and a remark behind it: `at: "p. 12, on nickel"`. Give the
    measurement its `date` and `instrument`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.procedures.wording import joined
from handwheel.records.citations import citations_in
from handwheel.records.kinds import KINDS
from handwheel.records.library import Library
from handwheel.records.library_records import Source
from handwheel.records.values import Citation

_NUMBER = r"[ ]?(?:\d|[A-Z]\b|[IVXLC]+\b)"
_STANDARD = rf"\b(?:clause|table|annex|fig\.|figure|part|pp?\.|page){_NUMBER}|(?:^|\s)\d+(?:\.\d+)+"
_OF_BOOKS = r"pp?\.|pages?|leaf|chapter|section|part|table|fig\.|figure|plate|chart|class|rule|appendix"
_BOOK = rf"\b(?:{_OF_BOOKS}){_NUMBER}|\bunder \w"
_FORMS = {
    "standard": (re.compile(_STANDARD), "clause, table, annex, figure or page"),
    **dict.fromkeys(
        ("handbook", "government publication", "paper"),
        (re.compile(_BOOK), "page, chapter, section, table, figure, class, or 'under' a heading"),
    ),
}
_NEEDS = {"shop measurement": ("date", "instrument"), "told by another restorer": ("edition",)}


@rule("note")
def find(library: Library) -> Iterator[Finding]:
    """Citations by the kind of their source, and sources that are told or measured."""
    cited = set[str]()
    for kind in KINDS:
        for record in library.of(kind).values():
            for citation in citations_in(record):
                cited.add(citation.source)
                yield from _judged(library.sources[citation.source], citation, f"{kind}/{record.id}")
    for source in library.sources.values():
        missing = [each for each in _NEEDS.get(source.kind, ()) if not getattr(source, each)]
        if source.id in cited and missing:
            yield _bare(source, missing)


def _judged(source: Source, citation: Citation, subject: str) -> Iterator[Finding]:
    form, right = _FORMS.get(source.kind, (None, ""))
    if form and citation.at and source.read == "seen" and not form.search(citation.at):
        yield Finding(
            place=citation.place,
            subject=subject,
            what=f"'{citation.at}' is no place that can be looked up in '{source.id}', a {source.kind}",
            right=right,
        )


def _bare(source: Source, missing: list[str]) -> Finding:
    return Finding(
        place=source.place,
        subject=f"sources/{source.id}",
        what=f"'{source.id}' is cited, a {source.kind} without {joined(missing)}",
        right=joined([f"'{each}:'" for each in missing]),
    )
