"""A serial number that was allotted to two variants.

What it proves:
    No two blocks of serial numbers with one prefix meet, unless one of them says so in a note.

Why it matters at the bench:
    The number is the surest look that there is, and then it says two things.

Failing example:
    variants:
      plover-third: {name: "Plover, third", family: plover, made: {from: 1940}, serials: [{prefix: A, from: 100, to: 300}], features: {casting: aluminium, lamp: bracket, bulb: filament, foot: [thumb, snap, hinge]}}
      plover-fourth: {name: "Plover, fourth", family: plover, made: {from: 1944}, serials: [{prefix: A, from: 250, to: 400}], features: {casting: aluminium, lamp: stalk, bulb: filament, foot: [thumb, snap, hinge]}}

Passing example:
    variants:
      plover-third: {name: "Plover, third", family: plover, made: {from: 1940}, serials: [{prefix: A, from: 100, to: 249}], features: {casting: aluminium, lamp: bracket, bulb: filament, foot: [thumb, snap, hinge]}}
      plover-fourth: {name: "Plover, fourth", family: plover, made: {from: 1944}, serials: [{prefix: A, from: 250, to: 400}], features: {casting: aluminium, lamp: stalk, bulb: filament, foot: [thumb, snap, hinge]}}

How to mend it:
    Mend the numbers. Where a block was really used twice, say so under `note:`.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.library import Library
from handwheel.records.machine_records import Block, Variant


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Blocks of each prefix within a family, by number."""
    for family in library.families:
        blocks: dict[str, list[tuple[Block, Variant]]] = {}
        for variant in library.variants_of(family):
            for block in variant.serials:
                blocks.setdefault(block.prefix, []).append((block, variant))
        for listed in blocks.values():
            listed.sort(key=lambda each: (each[0].first, each[0].last))
            for (one, of_one), (other, of_other) in pairwise(listed):
                if other.first <= one.last and not (one.note or other.note):
                    yield Finding(
                        place=other.place,
                        subject=f"variants/{of_other.id}",
                        what=f"{other.prefix}{other.first} to {min(one.last, other.last)} stand in a block of "
                        f"'{of_one.id}' too",
                        right="other numbers, or a note that the block was used twice",
                        related=((one.place, f"the block of '{of_one.id}'"),),
                    )
