"""Which questions bear on one another, so that a space can leave the others out and still be exact.

Once the variant is named, parts are independent of one another but for the clauses of
`cannot_stand`. So what is left out falls into components, and all that each can do to
the rest is to rule out a variant.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import prod

from handwheel.machines.cells import LIMIT, Cells, size_of
from handwheel.machines.family import FamilyIndex
from handwheel.machines.masks import VARIANT
from handwheel.machines.questions import Family


@dataclass(frozen=True)
class Area:
    """Groups of questions that can be worked through by themselves."""

    members: tuple[int, ...]
    """Which of the groups given, by position."""
    questions: frozenset[str]
    cells: int
    """Combinations to be held at once, those that cannot stand included."""


def closure(index: FamilyIndex, questions: Iterable[str]) -> frozenset[str]:
    """The features to keep so that these questions can be asked exactly."""
    kept = frozenset[str]().union(*map(index.base, questions))
    while True:
        free = _free(index, kept)
        more = (read for read in index.reads_of_clauses if free & _free(index, read))
        grown = kept.union(*more)
        if grown == kept:
            return kept
        kept = grown


def ruled_out(index: FamilyIndex, kept: frozenset[str], limit: int = LIMIT) -> frozenset[str]:
    """Variants that no machine can have because of what was left out."""
    left_out = [read for read in index.reads_of_clauses if not read <= kept]
    gone: set[str] = set()
    for group in joined([_free(index, read) for read in left_out]):
        counts = _by_variant(index, frozenset().union(*(left_out[i] for i in group)), limit)
        gone |= {variant for variant, count in counts.items() if not count}
    return frozenset(gone)


def count_machines(family: Family, limit: int = LIMIT) -> int:
    """How many machines of the family can stand here, also where they are too many for one space."""
    index = FamilyIndex(family)
    sets = [frozenset(f.id for f in carrier.features) for carrier in index.carriers.values()]
    sets += index.reads_of_clauses
    groups = joined([_free(index, names) for names in sets])
    counts = [_by_variant(index, frozenset().union(*(sets[i] for i in group)), limit) for group in groups]
    return sum(prod(count[variant] for count in counts) for variant in index.variants)


def areas(family: Family, groups: Sequence[Iterable[str]], *, through_patterns: bool = True) -> tuple[Area, ...]:
    """Split groups of questions into areas that share neither question nor carrier.

    Questions that are no feature (findings, choices, readings) join groups by name. With
    `through_patterns` false, a carrier that the variant settles joins nothing: every area
    holds the variant anyway.
    """
    index = FamilyIndex(family)
    asked = [frozenset(group) for group in groups]
    read = [_features(index, group) for group in asked]
    links = [
        _carriers(index, features, through_patterns) | {("asked", q) for q in group if q not in index.features}
        for group, features in zip(asked, read, strict=True)
    ]
    return tuple(_area(index, members, asked, read) for members in joined(links))


def joined(sets: Sequence[Iterable[Hashable]]) -> list[tuple[int, ...]]:
    """Positions of the sets, grouped so that sets of different groups share nothing."""
    groups: list[tuple[list[int], set[Hashable]]] = []
    for i, names in enumerate(sets):
        members, all_names = [i], set(names)
        apart = []
        for group in groups:
            if group[1].isdisjoint(all_names):
                apart.append(group)
            else:
                members, all_names = group[0] + members, all_names | group[1]
        groups = [*apart, (members, all_names)]
    return sorted(tuple(sorted(members)) for members, _ in groups)


def _area(
    index: FamilyIndex, members: tuple[int, ...], asked: list[frozenset[str]], read: list[frozenset[str]]
) -> Area:
    questions = frozenset[str]().union(*(asked[i] for i in members))
    features = closure(index, frozenset().union(*(read[i] for i in members)))
    return Area(members, questions, size_of(index, features))


def _features(index: FamilyIndex, questions: frozenset[str]) -> frozenset[str]:
    return frozenset[str]().union(*(index.base(q) for q in questions if q in index.features))


def _carriers(index: FamilyIndex, features: frozenset[str], all_of_them: bool) -> set[Hashable]:
    carriers = {index.carrier_of[feature] for feature in features}
    return {("carrier", carrier) for carrier in carriers if all_of_them or carrier in index.free}


def _free(index: FamilyIndex, features: frozenset[str]) -> frozenset[str]:
    """Carriers of the features that couple; one that the variant settles does not."""
    return frozenset(index.carrier_of[feature] for feature in features) & index.free


@lru_cache(maxsize=1024)
def _by_variant(index: FamilyIndex, features: frozenset[str], limit: int) -> dict[str, int]:
    cells = Cells(index, features, limit)
    standing = cells.standing()
    return {variant: (standing & cells.leaf(VARIANT, variant)).bit_count() for variant in index.variants}
