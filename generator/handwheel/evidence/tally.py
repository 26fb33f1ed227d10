"""How much of the library's content rests on what: values by the standing of their source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from handwheel.evidence.judge import verdicts
from handwheel.evidence.standing import Standing, of_citation, of_citations
from handwheel.evidence.verdict import Outcome
from handwheel.records.kinds import Record
from handwheel.records.library import Library
from handwheel.records.library_records import SOURCE_KINDS
from handwheel.records.uses import references
from handwheel.records.values import Citation

NO_SOURCE = "no source is named"
_ORDER = list(Standing)


def cited(library: Library) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Source -> kind and id of every record that rests on it."""
    found: dict[str, dict[tuple[str, str], None]] = {each: {} for each in library.sources}
    for plural, record in library:
        for kinds, identifier in references(record):
            if kinds == ("sources",):
                found[identifier][(plural, record.id)] = None
    return {each: tuple(records) for each, records in found.items()}


def by_standing(library: Library) -> Mapping[Standing, int]:
    """Records that can cite a source, by the best standing among those that they cite."""
    count = Counter(_standings(library))
    return {each: count[each] for each in Standing}


def _standings(library: Library) -> Iterator[Standing]:
    for _, cited_here in _citing(library):
        yield of_citations(library, cited_here)


def _citing(library: Library) -> Iterator[tuple[Record, tuple[Citation | None, ...]]]:
    """Records that can cite a source, with those that each cites."""
    for _, record in library:
        one = getattr(record, "source", None)
        several = getattr(record, "sources", ()) or getattr(record, "rests_on", ())
        if one or several or hasattr(record, "source") or hasattr(record, "sources"):
            yield record, (one, *several)


def by_kind(library: Library) -> Mapping[str, tuple[int, int]]:
    """Kind of source -> records that rest on it by the best source that each names, in all and of the shop's own."""
    own = next(reversed(tuple(library.roots)), "")
    count: dict[str, list[int]] = {}
    for record, cited_here in _citing(library):
        found = min((c for c in cited_here if c), key=lambda c: _ORDER.index(of_citation(library, c)), default=None)
        kind = library.sources[found.source].kind if found else NO_SOURCE
        both = count.setdefault(kind, [0, 0])
        both[0] += 1
        both[1] += record.layer == own
    return {kind: (count[kind][0], count[kind][1]) for kind in (*SOURCE_KINDS, NO_SOURCE) if kind in count}


def by_outcome(library: Library) -> Mapping[str, Mapping[Outcome, int]]:
    """Kind -> how many of its values agree, differ or cannot be checked."""
    found: dict[str, Counter[Outcome]] = {}
    for plural, record in library:
        for verdict in verdicts(library, plural, record):
            found.setdefault(plural, Counter())[verdict.outcome] += 1
    return {plural: {each: count[each] for each in Outcome} for plural, count in found.items()}
