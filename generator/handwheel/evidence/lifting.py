"""Loads against the revised lifting equation, with the people that they take.

The lift that is meant is one from a base to the bench beside it, and it is printed with the answer. The shop's
own limit may lower what the equation allows, and never raises it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from handwheel.engineering.lifting import Lift, Place, multipliers, weight_limit
from handwheel.engineering.lifting_loads import LIFT_CAUTION, Judged, judge_loads
from handwheel.engineering.lifting_tables import MANUAL, METRIC, Coupling
from handwheel.engineering.ranges import Span
from handwheel.engineering.units import Dimension, format_both
from handwheel.evidence.standing import of_citation
from handwheel.records.library import Library

TO_BENCH = Lift(Place(0.35, 0.75), Place(0.40, 0.80), Coupling.FAIR)
LIFT_WORDS = "from the base to the bench beside it: hands 35 to 40 cm ahead and 75 to 80 cm up, fair hold, no twist"
DEFERRAL = "Local rules on lifting go before this sum. Whoever has a bad back does not lift."
OWN_LIMIT = "lone-lift"


@dataclass(frozen=True)
class Load:
    """One load judged: how many people, in words, with the sum."""

    name: str
    mass: str
    people: int
    words: str
    arithmetic: tuple[str, ...]


def allowed(library: Library) -> tuple[float, tuple[str, ...]]:
    """What one person may lift [kg] and how that came about: the equation, or less where the shop says so."""
    parts = multipliers(TO_BENCH, TO_BENCH.destination)
    limit = weight_limit(TO_BENCH).governing
    factors = " x ".join(f"{each:.3g}" for each in vars(parts).values())
    sums = [f"{METRIC.load:g} kg x {factors} = {limit:.1f} kg ({MANUAL})"]
    own = library.of("limits").get(OWN_LIMIT)
    if own is not None and own.unit == "kg" and own.sense == "at most":
        standing = of_citation(library, own.source)
        if own.value.value < limit:
            sums.append(f"{own.name}: {own.value.text} kg ({standing.words}) is less, so it holds")
            return own.value.value, tuple(sums)
        sums.append(f"{own.name}: {own.value.text} kg ({standing.words}) is more, and does not raise it")
    return limit, tuple(sums)


def judged_loads(library: Library, loads: Mapping[str, Span]) -> tuple[Load, ...]:
    """Each load against what one person may lift."""
    limit, sums = allowed(library)
    return tuple(_load(each, limit, sums) for each in judge_loads(loads, TO_BENCH))


def _load(judged: Judged, limit: float, sums: tuple[str, ...]) -> Load:
    people = max(1, math.ceil(judged.mass.high / limit - 1e-9))
    index = f"{judged.mass.high:.3g} kg / {limit:.3g} kg = {judged.mass.high / limit:.2f}"
    return Load(judged.load, _mass(judged.mass), people, " ".join(_words(people, limit)), (*sums, index))


def _words(people: int, limit: float) -> Iterator[str]:
    if people == 1:
        yield f"Within {limit:.3g} kg, what one person may lift in this way."
        return
    yield f"Above {limit:.3g} kg, what one person may lift: {people} people, or take heavy parts off first."
    yield LIFT_CAUTION
    yield "The equation is made for one person; that two share a load evenly is common practice and no proof."


def _mass(span: Span) -> str:
    low = format_both(span.low, Dimension.MASS)
    return low if span.low == span.high else f"{low} to {format_both(span.high, Dimension.MASS)}"
