"""What the shop itself measured: how often, on what, when, and how far apart.

Mean and experimental standard deviation are those of JCGM 100:2008, 4.2.1 and 4.2.2. They describe what was read at
this bench; they are no tolerance, and nothing is judged by them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain

from handwheel.engineering.uncertainty import mean_of
from handwheel.records.bench_records import Measurement
from handwheel.records.library import Library
from handwheel.records.values import Number


@dataclass(frozen=True)
class Series:
    """Measurements of one reading."""

    taken: tuple[Measurement, ...]
    unit: str

    @property
    def values(self) -> tuple[Number, ...]:
        """All values, in the order taken."""
        by_day = sorted(self.taken, key=lambda each: each.date)
        return tuple(chain.from_iterable(each.values for each in by_day))

    @property
    def days(self) -> str:
        """The day, or the first and the last."""
        days = sorted({each.date for each in self.taken})
        return days[0] if len(days) == 1 else f"{days[0]} to {days[-1]}"

    @property
    def words(self) -> str:
        """`4 readings, 2026-03-11 to 2026-03-14: mean 0.850 N, standard deviation 0.036 N, from 0.82 to 0.90 N`."""
        values = self.values
        if len(values) == 1:
            return f"1 reading, {self.days}: {values[0].text} {self.unit}"
        found = mean_of([each.value for each in values])
        digits = 1 + max(_decimals(each) for each in values)
        deviation = found.uncertainty * math.sqrt(len(values))
        least, most = min(values, key=lambda each: each.value), max(values, key=lambda each: each.value)
        middle = f"mean {found.value:.{digits}f} {self.unit}, standard deviation {deviation:.{digits}f} {self.unit}"
        return f"{len(values)} readings, {self.days}: {middle}, from {least.text} to {most.text} {self.unit}"


def measured(library: Library, reading: str, machine: str | None = None) -> Series | None:
    """What was measured of a reading, on one machine or on any; None where nothing was."""
    taken = tuple(
        each
        for each in library.measurements.values()
        if each.reading == reading and each.values and machine in (None, each.machine)
    )
    return Series(taken, library.readings[reading].unit) if taken else None


def by_machine(library: Library, reading: str) -> Iterator[tuple[str, Series]]:
    """A series for each machine that was named, those of the library first; last what names none."""
    whole = measured(library, reading)
    named = {each.machine for each in whole.taken} if whole else set()
    order = [*(each for each in library.variants if each in named), *sorted(named - set(library.variants) - {""})]
    for machine in [*order, *({""} & named)]:
        found = measured(library, reading, machine)
        if found is not None:
            yield machine, found


def _decimals(value: Number) -> int:
    return len(value.text.partition(".")[2])
