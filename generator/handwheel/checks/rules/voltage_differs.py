"""A part that is marked for another voltage than the mains at the bench.

What it proves:
    Where the shop tells the voltage of its mains, it lies within the marking of every motor, lamp and other part that
    takes current, or within a tenth of it.

Why it matters at the bench:
    A motor of 110 V on 230 V runs away and burns, and a lamp bursts.

Failing example:
    shops:
      plover-bench: {name: Plover bench, mains: 230 V}
    parts:
      drive-motor: {name: drive motor, behind: [side-plate], rests: true, electrical: true, sews: false, watts: 70 W, volts: 110 V, sources: [bench-notes]}

Passing example:
    shops:
      plover-bench: {name: Plover bench, mains: 230 V}
    parts:
      drive-motor: {name: drive motor, behind: [side-plate], rests: true, electrical: true, sews: false, watts: 70 W, volts: [220 V, 240 V], sources: [bench-notes]}

How to mend it:
    Read the plate again. If it is so, do not plug it in: a licensed person says what it may be run from.

Sources:
    The markings. A tenth either way is how far the supply itself may wander in EN 50160: from memory, so a mark within
    it is not passed by this rule either.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.evidence.electrics import span_of
from handwheel.records.library import Library

TENTH = 0.1


@rule(safety=True)
def find(library: Library) -> Iterator[Finding]:
    """Markings against the mains."""
    mains = library.shop.mains if library.shop else None
    if mains is None or mains.value is None:
        return
    for part in library.parts.values():
        for case in part.volts.cases if part.volts else ():
            span = span_of(case.value)
            if span is None or span.low * (1 - TENTH) <= mains.value <= span.high * (1 + TENTH):
                continue
            told = " to ".join(each.text for each in case.value)
            yield Finding(
                place=case.place,
                subject=f"parts/{part.id}",
                what=f"'{part.id}' is marked for {told}, and the mains at the bench has {mains.text}",
                right="the marking read again; else it is not plugged in",
                related=((mains.place, "the mains at the bench"),),
            )
