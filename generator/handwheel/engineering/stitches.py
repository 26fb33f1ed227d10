"""Stitch length and density, and what a regulator really gives, from a sewn sample.

Lengths are in metres and densities in stitches per metre, save where a name says "per inch".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.ranges import Range, finite
from handwheel.engineering.uncertainty import (
    COVERAGE,
    Difference,
    Line,
    Measured,
    combine,
    difference,
    line_through,
    mean_of,
    rectangular,
)

INCH = 0.0254
STITCH = Range(0.1e-3, 12.7e-3, "mm", 1e-3)
PER_INCH = Range(2.0, 254.0, "per in")
STITCH_WORDS = "the shop's limits for a household machine"
STRETCH = Range(0.005, 1.0, "mm", 1e-3)
READING = Range(0.0, 5e-3, "mm", 1e-3)
SEAM_THICKNESS = Range(0.02e-3, 20e-3, "mm", 1e-3)


def stitch_length(per_inch: float) -> float:
    """Length of one stitch [m] from the stitches counted to the inch.

    Formula: length = 25.4 mm / count.  Args: per_inch [1/in], 2 to 254 (the shop's limits).
    Source: definition of the inch (25.4 mm); stitch density as in ASTM D6193, 4.2.1.4.

    >>> round(stitch_length(10.16) * 1000, 3)
    2.5
    """
    return INCH / PER_INCH.check(per_inch, "stitches to the inch", STITCH_WORDS)


def stitches_per_inch(length: float) -> float:
    """Stitches to the inch from the length of one stitch.

    Formula: count = 25.4 mm / length.  Args: length [m], 0.1 to 12.7 mm (the shop's limits).
    Source: definition of the inch (25.4 mm); stitch density as in ASTM D6193, 4.2.1.4.

    >>> round(stitches_per_inch(0.0025), 2)
    10.16
    """
    return INCH / STITCH.check(length, "stitch length", STITCH_WORDS)


@dataclass(frozen=True)
class Stretch:
    """A length of sewn sample and the whole stitches in it, needle hole to needle hole.

    Args:
        length: measured flat, off the machine [m], 5 mm to 1 m.
        stitches: whole stitches in that length, at least 5.
    """

    length: float
    stitches: int

    def __post_init__(self) -> None:
        STRETCH.check(self.length, "measured length")
        if self.stitches < 5:
            raise ValueError(f"{self.stitches} stitches are too few to measure by; count at least 5")
        STITCH.check(self.stitch, "stitch length of the sample", STITCH_WORDS)

    @property
    def stitch(self) -> float:
        """Mean length of one stitch [m]."""
        return self.length / self.stitches


def sewn_length(stretches: Sequence[Stretch], reading_error: float = 0.5e-3) -> Measured:
    """Stitch length that a setting gives, from two or more stretches sewn at it, with its uncertainty.

    Formula: l_k = L_k/n_k; mean and s/sqrt(m) over the m stretches (Type A, m - 1 degrees of freedom); the
    rule's reading error a, taken as common to all stretches: (a/sqrt(3)) / mean(n_k) (Type B).
    u^2 = u_A^2 + u_B^2. Counting is taken as exact.

    Args:
        stretches: two or more [m, count].
        reading_error: the rule is read to give or take this [m], 0 to 5 mm.

    Source: JCGM 100:2008, 4.2, 4.3.7, 5.1.2. Counting over at least 25 mm is common practice.

    >>> sewn = sewn_length([Stretch(0.0500, 20), Stretch(0.0506, 20), Stretch(0.0503, 20)])
    >>> round(sewn.value * 1e3, 3), round(sewn.expanded() * 1e3, 3)
    (2.515, 0.034)
    """
    READING.check(reading_error, "reading error")
    repeated = mean_of([stretch.stitch for stretch in stretches])
    count = sum(stretch.stitches for stretch in stretches) / len(stretches)
    return combine(repeated.value, (repeated, Measured(0.0, rectangular(reading_error) / count)))


class Marking(Enum):
    """What the numbers on a regulator mean."""

    MILLIMETRES = "millimetres a stitch"
    PER_INCH = "stitches to the inch"

    def length(self, mark: float) -> float:
        """The stitch length that a mark promises [m].

        >>> round(Marking.PER_INCH.length(10) * 1e3, 2), Marking.MILLIMETRES.length(2.5)
        (2.54, 0.0025)
        """
        if self is Marking.PER_INCH:
            return stitch_length(mark)
        return STITCH.check(mark * 1e-3, "stitch length marked", STITCH_WORDS)


@dataclass(frozen=True)
class MarkTried:
    """One mark of a regulator held against what it sews."""

    mark: float
    promised: float
    sewn: Measured
    error: Difference

    @property
    def words(self) -> str:
        """The error in millimetres, with its uncertainty and what it shows."""
        off, give = self.error.value * 1e3, self.error.expanded * 1e3
        sewn = f"sews {self.sewn.value * 1e3:.2f} mm, marked {self.promised * 1e3:.2f} mm"
        return f"{sewn}: {off:+.2f} mm, known to {give:.2f} mm; {self.error.words}"


def try_mark(mark: float, marking: Marking, sewn: Measured, coverage: float = COVERAGE) -> MarkTried:
    """Hold one mark of a regulator against a sewn sample.

    Formula: error = sewn - promised, with the sewn sample's expanded uncertainty.

    Args:
        mark: the number on the regulator [1/in or mm].
        marking: what the number means.
        sewn: from `sewn_length` [m].
        coverage: share [1], 0.5 to 0.9999.

    Source: JCGM 100:2008, G.4.1.

    >>> sewn = sewn_length([Stretch(0.0500, 20), Stretch(0.0506, 20), Stretch(0.0504, 20)])
    >>> try_mark(10, Marking.PER_INCH, sewn).words
    'sews 2.52 mm, marked 2.54 mm: -0.02 mm, known to 0.03 mm; no difference can be told'
    """
    STITCH.check(sewn.value, "sewn stitch length", STITCH_WORDS)
    promised = marking.length(mark)
    return MarkTried(mark, promised, sewn, difference(sewn, Measured(promised, 0.0), coverage))


@dataclass(frozen=True)
class Regulator:
    """An unmarked regulator's scale: stitch length over position, between the positions tried.

    Args:
        line: fitted through every stretch, position (any unit) to stitch length [m].
        common: the rule's reading error as standard uncertainty of one stitch [m].
        misfit: the greatest distance of a position's mean from the line [m].
    """

    line: Line
    common: float
    misfit: float

    def length_at(self, position: float) -> Measured:
        """Stitch length at a position [m]; refused outside the positions tried."""
        found = self.line.at(position)
        return combine(found.value, (found, Measured(0.0, self.common)))

    def position_for(self, length: float) -> float:
        """The position that sews a stitch length [m]; refused outside the lengths tried."""
        ends = sorted(self.line.intercept + self.line.slope * x for x in (self.line.valid.low, self.line.valid.high))
        Range(ends[0], ends[1], "mm", 1e-3).check(length, "stitch length", "the lengths it was tried at")
        found = (length - self.line.intercept) / self.line.slope
        return min(max(found, self.line.valid.low), self.line.valid.high)


def scale_of(tried: Sequence[tuple[float, Sequence[Stretch]]], reading_error: float = 0.5e-3) -> Regulator:
    """Scale of an unmarked regulator from stretches sewn at three or more positions.

    Formula: least squares of stitch length on position through all stretches; the rule's reading error
    is added as common to all, over the least count of any stretch. Scatter and bend of the scale both
    widen the result; a bent scale shows as `misfit`.

    Args:
        tried: position (notch, turns, angle: any unit) with the stretches sewn there [m, count].
        reading_error: the rule is read to give or take this [m], 0 to 5 mm.

    Raises:
        ValueError: fewer than three positions, or a scale that does not change the stitch.

    Source: JCGM 100:2008, H.3.

    >>> scale = scale_of([(p, [Stretch(0.02 * p, 20), Stretch(0.0201 * p, 20)]) for p in (1, 2, 3)])
    >>> round(scale.length_at(2.5).value * 1e3, 2), round(scale.position_for(0.002), 2)
    (2.51, 2.0)
    """
    READING.check(reading_error, "reading error")
    if len({position for position, stretches in tried if stretches}) < 3:
        raise ValueError("a scale needs stretches at three or more positions; two cannot show a bend")
    line = line_through([(position, stretch.stitch) for position, stretches in tried for stretch in stretches])
    if finite(line.slope, "slope") == 0:
        raise ValueError("every position sews the same length: the regulator does not act")
    fewest = min(stretch.stitches for _, stretches in tried for stretch in stretches)
    misfit = max(_misfit(line, position, stretches) for position, stretches in tried if stretches)
    return Regulator(line, rectangular(reading_error) / fewest, misfit)


def _misfit(line: Line, position: float, stretches: Sequence[Stretch]) -> float:
    mean = sum(stretch.stitch for stretch in stretches) / len(stretches)
    return abs(mean - line.at(position).value)


def forward_against_reverse(
    forward: Sequence[Stretch], reverse: Sequence[Stretch], reading_error: float = 0.5e-3, coverage: float = COVERAGE
) -> Difference:
    """How much longer the stitch is forward than in reverse at one setting [m].

    Formula: difference of the two means by Welch's test, each mean as in `sewn_length`. The rule's error is
    taken as independent for the two, so a difference is called one rather too late than too early.

    Args:
        forward, reverse: two or more stretches each [m, count].
        reading_error: [m], 0 to 5 mm.
        coverage: share [1], 0.5 to 0.9999.

    Source: JCGM 100:2008, 5.1.2 and G.4.1.

    >>> result = forward_against_reverse([Stretch(0.050, 20), Stretch(0.0502, 20), Stretch(0.0501, 20)],
    ...                                  [Stretch(0.046, 20), Stretch(0.0462, 20), Stretch(0.0461, 20)])
    >>> round(result.value * 1e3, 2), result.words
    (0.2, 'differs')
    """
    return difference(sewn_length(forward, reading_error), sewn_length(reverse, reading_error), coverage)


class StitchType(Enum):
    """Stitch types of ISO 4915, with the constant of the thread-consumption formula."""

    CHAIN_101 = ("101", 3.0)
    LOCK_301 = ("301", 2.0)
    CHAIN_401 = ("401", 4.0)

    def __init__(self, number: str, flat: float) -> None:
        self.number = number
        self.flat = flat


def thread_per_seam(stitch: StitchType, thickness: float, length: float) -> float:
    """Length of thread used for each length of seam [1].

    Formula: C = c + 2 T S, S = 1/stitch length, c = 2 (301), 3 (101), 4 (401). Geometric: a thread without
    thickness under no tension; waste is not in it (10 to 15 % is common practice).

    Args:
        stitch: stitch type.
        thickness: T, all layers together [m], 0.02 to 20 mm.
        length: stitch length [m], 0.1 to 12.7 mm.

    Source: textile calculation handbooks (seen as published pages, worked values 2.2 and 3.09).

    >>> round(thread_per_seam(StitchType.LOCK_301, 0.01 * INCH, INCH / 10), 3)
    2.2
    """
    SEAM_THICKNESS.check(thickness, "seam thickness")
    return stitch.flat + 2 * thickness / STITCH.check(length, "stitch length", STITCH_WORDS)
