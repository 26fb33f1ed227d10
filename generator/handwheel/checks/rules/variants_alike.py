"""Two variants that nothing tells apart.

What it proves:
    Of any two variants of a family, some feature has other forms on one than on the other, or their blocks of serial
    numbers do not meet.

Why it matters at the bench:
    Every look is taken and the answer is still "one of these two". Either a difference is known and not written
    down, or there is one variant and two names.

Failing example:
    variants:
      plover-third: {name: "Plover, third", family: plover, made: {from: 1940}, features: {casting: iron, lamp: bracket, bulb: filament, foot: [thumb, snap, hinge]}}

Passing example:
    variants:
      plover-third: {name: "Plover, third", family: plover, made: {from: 1940}, features: {casting: aluminium, lamp: bracket, bulb: filament, foot: [thumb, snap, hinge]}}

How to mend it:
    Add the feature that differs, or blocks of serial numbers, or make one variant of the two.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.library import Library
from handwheel.records.machine_records import Variant


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Pairs of variants of one family with the same forms of every feature."""
    for family in library.families:
        groups: dict[object, list[Variant]] = {}
        for variant in library.variants_of(family):
            forms = frozenset((name, frozenset(forms)) for name, forms in variant.features.items())
            groups.setdefault(forms, []).append(variant)
        for group in groups.values():
            for one, other in combinations(group, 2):
                if not _apart_by_number(one, other):
                    yield _finding(one, other)


def _apart_by_number(one: Variant, other: Variant) -> bool:
    pairs = [(a, b) for a in one.serials for b in other.serials]
    return bool(pairs) and all(a.prefix != b.prefix or a.last < b.first or b.last < a.first for a, b in pairs)


def _finding(one: Variant, other: Variant) -> Finding:
    return Finding(
        place=other.place,
        subject=f"variants/{other.id}",
        what=f"nothing tells '{other.id}' from '{one.id}': every feature has the same forms",
        right="the feature that differs, or blocks of serial numbers that do not meet",
        related=((one.place, f"'{one.id}'"),),
    )
