"""A bench temperature at which no sum here holds.

What it proves:
    The temperature of the bench lies where the formula for the viscosity of oils holds.

Why it matters at the bench:
    A temperature in another unit makes a thin oil of a thick one on every page.

Failing example:
    shops:
      plover-bench: {name: Plover bench, bench_temperature: 180}

Passing example:
    shops:
      plover-bench: {name: Plover bench, bench_temperature: 18}

How to mend it:
    Write it in degrees Celsius.

Sources:
    ASTM D341; its limits from memory.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.evidence.bench_oils import BENCH
from handwheel.records.library import Library


@rule()
def find(library: Library) -> Iterator[Finding]:
    """The shop's temperature against the range of the sums."""
    told = library.shop.bench_temperature if library.shop else None
    if library.shop and told and told.value not in BENCH:
        yield Finding(
            place=library.shop.where("bench_temperature"),
            subject=f"shops/{library.shop.id}",
            what=f"a bench at {told.text} °C; the sums for oils hold from {BENCH}",
            right="degrees Celsius, such as 18",
        )
