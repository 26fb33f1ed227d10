"""How much of the library's content rests on what: values by the standing of their source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from handwheel.evidence.judge import verdicts
from handwheel.evidence.standing import Standing, of_citations
from handwheel.evidence.verdict import Outcome
from handwheel.records.library import Library
from handwheel.records.uses import references


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
    for _, record in library:
        one = getattr(record, "source", None)
        several = getattr(record, "sources", ()) or getattr(record, "rests_on", ())
        if one or several or hasattr(record, "source") or hasattr(record, "sources"):
            yield of_citations(library, (one, *several))


def by_outcome(library: Library) -> Mapping[str, Mapping[Outcome, int]]:
    """Kind -> how many of its values agree, differ or cannot be checked."""
    found: dict[str, Counter[Outcome]] = {}
    for plural, record in library:
        for verdict in verdicts(library, plural, record):
            found.setdefault(plural, Counter())[verdict.outcome] += 1
    return {plural: {each: count[each] for each in Outcome} for plural, count in found.items()}
