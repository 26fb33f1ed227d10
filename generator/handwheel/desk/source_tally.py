"""What a shop's records rest on, in numbers, and the sources that nothing cites."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from handwheel.evidence.standing import Standing, of_citations
from handwheel.records.citations import citations_in
from handwheel.records.kinds import KINDS, Record, keys_of
from handwheel.records.library import Library


@dataclass(frozen=True)
class SourceTally:
    """Numbers for the summary."""

    named: tuple[tuple[str, int], ...]
    """How far what is cited was verified, in words, and how many records rest on it."""
    unnamed: tuple[tuple[str, int, int], ...]
    """Kind, how many of its records name no source, how many there are."""
    unused: tuple[str, ...]
    """Sources that no record cites: `file:line:column: id`."""

    @property
    def lines(self) -> tuple[str, ...]:
        """For people."""
        told = tuple(f"{count} rest on: {words}" for words, count in self.named)
        bare = ", ".join(f"{kind} {count} of {whole}" for kind, count, whole in self.unnamed)
        none = sum(count for _, count, _ in self.unnamed)
        whole = none + sum(count for _, count in self.named)
        said = (f"{none} of {whole} records name no source{f': {bare}' if bare else ''}",)
        return (*said, *told, *(f"note: nothing cites the source {each}" for each in self.unused))


def tally_of(library: Library, own: Iterable[str]) -> SourceTally:
    """Count the records of kinds that can name a source; unused sources of the layers in `own` are named."""
    named: Counter[Standing] = Counter()
    bare, whole, used = Counter[str](), Counter[str](), set[str]()
    for kind in KINDS:
        for record in library.of(kind).values():
            cited = list(citations_in(record))
            used |= {each.source for each in cited}
            if _can_cite(type(record)):
                whole[kind] += 1
                bare[kind] += not cited
                named[of_citations(library, cited)] += 1
    del named[Standing.NONE]
    layers = frozenset(own)
    unused = tuple(f"{each.place}: {each.id}" for each in library.sources.values() if _bare(each, used, layers))
    return SourceTally(
        tuple((each.words, named[each]) for each in Standing if named[each]),
        tuple((kind.replace("_", " "), bare[kind], whole[kind]) for kind in whole if bare[kind]),
        unused,
    )


def _bare(source: Record, used: set[str], own: frozenset[str]) -> bool:
    return source.id not in used and source.layer in own


def _can_cite(cls: type[Any]) -> bool:
    return bool({"source", "sources"} & {name for name, _ in keys_of(cls).values()})
