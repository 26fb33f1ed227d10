"""Oils at the temperature of the bench: what a viscosity grade, which is told at 40 degC, comes to there.

A grade tells one viscosity. How much an oil thickens in the cold is told by its viscosity index, which no record has:
that of mineral oils is taken from memory, so what comes out is an estimate and permits nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from handwheel.engineering.lubricants import grade
from handwheel.engineering.ranges import Range, Span
from handwheel.engineering.units import significant
from handwheel.engineering.viscosity import (
    AT_100_DEGREES,
    BENCH_TEMPERATURE,
    MM2_S,
    TEMPERATURE_WORDS,
    ZERO_CELSIUS,
    Reading,
    viscosity_at,
    viscosity_of_index,
)
from handwheel.records.library import Library
from handwheel.records.library_records import Lubricant

INDEX = Span(80.0, 110.0)
"""Viscosity index of plain mineral oils: from memory."""
BENCH = Range(BENCH_TEMPERATURE.low - ZERO_CELSIUS, BENCH_TEMPERATURE.high - ZERO_CELSIUS, "°C")


@dataclass(frozen=True)
class AtBench:
    """A grade at the bench: in words, with the sum."""

    words: str
    arithmetic: tuple[str, ...]


def bench_temperature(library: Library) -> float | None:
    """The temperature of the bench [K]; None where the shop does not tell it.

    Raises:
        OutOfRange: a temperature at which the sums here do not hold.
    """
    told = library.shop.bench_temperature if library.shop else None
    return BENCH.check(told.value, "bench temperature", TEMPERATURE_WORDS) + ZERO_CELSIUS if told else None


def at_bench(library: Library, record: Lubricant) -> Iterator[AtBench]:
    """Each grade of an oil at the bench; why not, where the sum does not hold there."""
    for name in record.vg if record.form == "oil" else ():
        try:
            temperature = bench_temperature(library)
            found = _estimate(int(name.rpartition(" ")[2]), temperature) if temperature else None
        except ValueError as error:
            found = AtBench(f"{name}: cannot be told: {error}", ())
        if found is not None:
            yield found


def _estimate(number: int, temperature: float) -> AtBench:
    known = grade(number)
    ends = [
        at_temperature(limit * MM2_S, index, temperature)
        for limit in (known.least, known.most)
        for index in (INDEX.low, INDEX.high)
    ]
    low, high = min(ends) / MM2_S, max(ends) / MM2_S
    at = f"{temperature - ZERO_CELSIUS:g} °C"
    return AtBench(
        f"VG {number}: about {significant(low, 2)} to {significant(high, 2)} mm²/s at {at}",
        (
            f"{known.least:g} to {known.most:g} mm²/s at 40 °C ({known.basis.source})",
            f"viscosity index {INDEX.low:g} to {INDEX.high:g}, as plain mineral oils have it: from memory",
            f"ASTM D2270 for 100 °C, ASTM D341 down to {at}, beyond both readings: an estimate, which permits nothing",
        ),
    )


def at_temperature(at_40: float, index: float, temperature: float) -> float:
    """Viscosity [m^2/s] at a temperature [K] of an oil told by its viscosity at 40 degC and its index.

    Formula: the viscosity at 100 degC of which ASTM D2270 gives that index; then ASTM D341 through both.

    Args:
        at_40: kinematic viscosity at 40 degC [m^2/s].
        index: viscosity index [1], -100 to 400.
        temperature: [K], 273.15 to 373.15.

    Raises:
        OutOfRange: an oil of less than 2 mm^2/s at 100 degC, for which the index is not defined.

    Source: ASTM D2270 and ASTM D341, with its worked example: 32 mm^2/s at 40 degC and 5.4 at 100 degC, which is an
    index of 102, give 8.5 at 80 degC.

    >>> round(at_temperature(32e-6, 102, 353.15) * 1e6, 1)
    8.5
    """
    at_100 = _at_100(at_40, index)
    readings = Reading(ZERO_CELSIUS + 40, at_40), Reading(ZERO_CELSIUS + 100, at_100)
    return viscosity_at(temperature, *readings).viscosity


def _at_100(at_40: float, index: float) -> float:
    """By halving: at one index, an oil that is thicker hot is thicker warm."""
    low, high = AT_100_DEGREES.low, min(AT_100_DEGREES.high, at_40)
    if at_40 < viscosity_of_index(index, low):
        raise ValueError("at 100 °C it lies below 2 mm²/s, where ASTM D2270 defines no index")
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if viscosity_of_index(index, middle) < at_40 else (low, middle)
    return (low + high) / 2
