"""Validity that is enforced, and results that are intervals.

A formula or table holds between limits. `Range` says which and refuses what lies outside,
so that nothing is extrapolated in silence. `Span` is a result of which only the ends are known.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass


def _text(value: float) -> str:
    """Six significant digits, without a trailing zero."""
    return f"{value:.6g}"


class OutOfRange(ValueError):  # noqa: N818 - named for what is wrong with the value
    """A value lies outside the range for which a formula or table holds.

    >>> raise OutOfRange("friction coefficient", 2.0, Range(0.02, 1.0, ""), "VDI 2230")
    Traceback (most recent call last):
        ...
    handwheel.engineering.ranges.OutOfRange: friction coefficient 2 is outside 0.02 to 1 (VDI 2230)
    """

    def __init__(self, what: str, value: float, allowed: Range, source: str = "") -> None:
        self.what = what
        self.value = value
        self.allowed = allowed
        self.source = source
        where = f" ({source})" if source else ""
        super().__init__(f"{what} {allowed.show(value)} is outside {allowed}{where}")


@dataclass(frozen=True)
class Range:
    """The values, ends included, for which something holds.

    Args:
        low: least value [SI].
        high: greatest value [SI].
        unit: the unit that messages are written in.
        si: what one `unit` is in SI, so that a message says 5 mm and not 0.005 m.

    >>> Range(0.2e-3, 0.05, "mm", si=1e-3).check(0.006, "major diameter")
    0.006
    >>> Range(0.2e-3, 0.05, "mm", si=1e-3).check(-0.006, "major diameter", "ISO 261")
    Traceback (most recent call last):
        ...
    handwheel.engineering.ranges.OutOfRange: major diameter -6 mm is outside 0.2 mm to 50 mm (ISO 261)
    """

    low: float
    high: float
    unit: str = ""
    si: float = 1.0

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise ValueError(f"a range cannot run from {self.low} to {self.high}")

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high

    def __str__(self) -> str:
        return f"{self.show(self.low)} to {self.show(self.high)}"

    def show(self, value: float) -> str:
        """One value in the range's own unit."""
        return f"{_text(value / self.si)} {self.unit}".rstrip()

    def check(self, value: float, what: str, source: str = "") -> float:
        """The value itself, or `OutOfRange`; not-a-number is outside every range."""
        if value not in self:
            raise OutOfRange(what, value, self, source)
        return value


@dataclass(frozen=True)
class Span:
    """A result known to lie between two values, ends included.

    >>> Span(0.12, 0.20) * 2
    Span(low=0.24, high=0.4)
    >>> Span.around(5.0, 0.25)
    Span(low=4.75, high=5.25)
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.high:
            raise ValueError(f"a span cannot run from {self.low} to {self.high}")

    @classmethod
    def exactly(cls, value: float) -> Span:
        """A span without width."""
        return cls(value, value)

    @classmethod
    def around(cls, value: float, error: float) -> Span:
        """From value - error to value + error; the error is not negative."""
        if not error >= 0:
            raise ValueError(f"an error cannot be {error}")
        return cls(value - error, value + error)

    @property
    def middle(self) -> float:
        """Halfway between the ends."""
        return self.low + (self.high - self.low) / 2

    @property
    def width(self) -> float:
        """From end to end."""
        return self.high - self.low

    def __contains__(self, value: float) -> bool:
        return self.low <= value <= self.high

    def __add__(self, other: Span) -> Span:
        return Span(self.low + other.low, self.high + other.high)

    def __mul__(self, factor: float) -> Span:
        ends = (self.low * factor, self.high * factor)
        return Span(min(ends), max(ends))

    def through(self, function: Callable[[float], float]) -> Span:
        """The span of a function that only rises or only falls over this span.

        >>> Span(2.0, 4.0).through(lambda x: 8 / x)
        Span(low=2.0, high=4.0)
        """
        ends = (function(self.low), function(self.high))
        return Span(min(ends), max(ends))

    def common(self, other: Span) -> Span | None:
        """What both spans hold, or None.

        >>> Span(0, 2).common(Span(1, 3)), Span(0, 1).common(Span(2, 3))
        (Span(low=1, high=2), None)
        """
        low, high = max(self.low, other.low), min(self.high, other.high)
        return Span(low, high) if low <= high else None

    def hull(self, other: Span) -> Span:
        """The least span that holds both."""
        return Span(min(self.low, other.low), max(self.high, other.high))


def finite(value: float, what: str) -> float:
    """The value itself if it is a finite number.

    >>> finite(float("nan"), "torque")
    Traceback (most recent call last):
        ...
    ValueError: torque is nan, not a number that can be used
    """
    if not math.isfinite(value):
        raise ValueError(f"{what} is {value}, not a number that can be used")
    return value
