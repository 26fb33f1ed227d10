"""How well a measured value is known: spread, standard uncertainty, coverage by Student's t.

Follows JCGM 100:2008 (the Guide to the Expression of Uncertainty in Measurement, "GUM").
Values keep the unit they come in; nothing here knows what was measured.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist, fmean

from handwheel.engineering.ranges import Range, Span, finite

COVERAGE = 0.95
COVERAGES = Range(0.5, 0.9999)
MOST_DEGREES = 2000
"""More degrees of freedom are treated as this many: t is then too large by less than 0.002, never too small."""


@dataclass(frozen=True)
class Measured:
    """An estimate with its standard uncertainty and effective degrees of freedom."""

    value: float
    uncertainty: float
    degrees: float = math.inf

    def __post_init__(self) -> None:
        finite(self.value, "measured value")
        if not finite(self.uncertainty, "standard uncertainty") >= 0:
            raise ValueError(f"a standard uncertainty cannot be {self.uncertainty}")
        if not self.degrees >= 1:
            raise ValueError(f"{self.degrees} degrees of freedom: at least one is needed to know a spread")

    def expanded(self, coverage: float = COVERAGE) -> float:
        """Expanded uncertainty: standard uncertainty times Student's t.

        Formula: U = t_p(nu) u.  Source: JCGM 100:2008, G.4.1, equation G.1d.

        >>> round(Measured(50.000838, 32e-6, 16.7).expanded(0.99), 6)  # GUM H.1.6: 93 nm
        9.3e-05
        """
        return students_t(coverage, self.degrees) * self.uncertainty

    def span(self, coverage: float = COVERAGE) -> Span:
        """The value give or take its expanded uncertainty."""
        return Span.around(self.value, self.expanded(coverage))

    def times(self, factor: float) -> Measured:
        """The same in a unit that is a fixed factor away."""
        return Measured(self.value * factor, self.uncertainty * abs(factor), self.degrees)


def students_t(coverage: float, degrees: float) -> float:
    """Factor t so that a share `coverage` of Student's distribution lies between -t and +t.

    Formula: A(t | nu) = coverage, A being the finite sum for whole nu; degrees are cut down to
    a whole number, infinity gives the normal distribution.

    Args:
        coverage: share wanted [1], 0.5 to 0.9999.
        degrees: degrees of freedom [1], at least 1.

    Source: Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.7.3 and 26.7.4;
    rounding down of degrees: JCGM 100:2008, G.4.1 note 1; values: table G.2.

    >>> round(students_t(0.95, 1), 2), round(students_t(0.95, 10), 2), round(students_t(0.95, math.inf), 3)
    (12.71, 2.23, 1.96)
    """
    COVERAGES.check(coverage, "coverage")
    if not degrees >= 1:
        raise ValueError(f"{degrees} degrees of freedom: at least one is needed")
    if math.isinf(degrees):
        return NormalDist().inv_cdf((1 + coverage) / 2)
    return _t_of_whole(coverage, min(math.floor(degrees + 1e-9), MOST_DEGREES))


@lru_cache(maxsize=1024)
def _t_of_whole(coverage: float, degrees: int) -> float:
    low, high = 0.0, math.pi / 2
    for _ in range(60):
        angle = (low + high) / 2
        low, high = (angle, high) if _inside(angle, degrees) < coverage else (low, angle)
    return math.sqrt(degrees) * math.tan((low + high) / 2)


def _inside(angle: float, degrees: int) -> float:
    """A(t | nu) of 26.7.3 (odd nu) and 26.7.4 (even nu) with t = sqrt(nu) tan(angle)."""
    cos2, odd = math.cos(angle) ** 2, degrees % 2
    term = math.cos(angle) if odd else 1.0
    total = 0.0 if degrees == 1 else term
    for k in range(2 + odd, degrees, 2):
        term *= cos2 * (k - 1) / k
        total += term
    return 2 / math.pi * (angle + math.sin(angle) * total) if odd else math.sin(angle) * total


def mean_of(values: Sequence[float]) -> Measured:
    """Mean of repeated readings with the uncertainty of that mean (Type A).

    Formula: q = sum(q_k)/n;  s^2 = sum((q_k - q)^2)/(n - 1);  u = s/sqrt(n);  nu = n - 1.

    Args:
        values: two or more independent readings [one unit, any].

    Source: JCGM 100:2008, 4.2.1 to 4.2.6.

    >>> result = mean_of([2.46, 2.52, 2.49])
    >>> round(result.value, 3), round(result.uncertainty, 4), result.degrees
    (2.49, 0.0173, 2)
    """
    if len(values) < 2:
        raise ValueError(f"{len(values)} reading shows no spread; take at least two")
    mean = fmean(finite(value, "reading") for value in values)
    square = math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1)
    return Measured(mean, math.sqrt(square / len(values)), len(values) - 1)


def rectangular(half_width: float) -> float:
    """Standard uncertainty of an error that lies anywhere within give or take `half_width` (Type B).

    Formula: u = a/sqrt(3).

    Args:
        half_width: a [any unit, which the result keeps], not negative.

    Source: JCGM 100:2008, 4.3.7.

    >>> round(rectangular(0.5), 4)
    0.2887
    """
    if not finite(half_width, "half width") >= 0:
        raise ValueError(f"a half width cannot be {half_width}")
    return half_width / math.sqrt(3)


def combine(value: float, parts: Sequence[Measured]) -> Measured:
    """A value with the uncertainties of independent parts taken together.

    Formula: u^2 = sum(u_i^2);  nu = u^4 / sum(u_i^4 / nu_i) (Welch and Satterthwaite).

    Args:
        value: the value that they belong to [any unit].
        parts: independent parts, each already times its sensitivity, so in the value's unit.

    Source: JCGM 100:2008, 5.1.2 and G.4.1, equation G.2b.

    >>> total = combine(1.0, [Measured(0, 3.0, 4), Measured(0, 4.0)])
    >>> total.uncertainty, round(total.degrees, 2)
    (5.0, 30.86)
    """
    uncertainty = math.hypot(*(part.uncertainty for part in parts))
    shares = math.fsum((part.uncertainty / uncertainty) ** 4 / part.degrees for part in parts) if uncertainty else 0.0
    return Measured(value, uncertainty, max(1.0, 1 / shares) if shares else math.inf)


class Agreement:
    """Words for what a difference shows; a difference within its uncertainty proves no sameness."""

    TELLS_NOTHING = "no difference can be told"
    DIFFERS = "differs"


@dataclass(frozen=True)
class Difference:
    """A difference of two values and what it shows at the coverage asked for."""

    value: float
    expanded: float

    @property
    def words(self) -> str:
        """`Agreement.DIFFERS` when the difference is greater than its expanded uncertainty."""
        return Agreement.DIFFERS if abs(self.value) > self.expanded else Agreement.TELLS_NOTHING


def difference(first: Measured, second: Measured, coverage: float = COVERAGE) -> Difference:
    """First less second, with the expanded uncertainty of the difference.

    Formula: as `combine`; for two means this is Welch's test.

    Args:
        first, second: independent estimates [one unit, any].
        coverage: share [1], 0.5 to 0.9999.

    Source: JCGM 100:2008, 5.1.2 and G.4.1.

    >>> result = difference(Measured(2.50, 0.01, 4), Measured(2.40, 0.01, 4))
    >>> round(result.value, 2), round(result.expanded, 4), result.words
    (0.1, 0.0326, 'differs')
    """
    both = combine(first.value - second.value, (first, second))
    return Difference(both.value, both.expanded(coverage))


@dataclass(frozen=True)
class Line:
    """A straight line through measured points, by least squares, and how well it is known."""

    slope: float
    intercept: float
    residual: float
    degrees: int
    centre: float
    squares: float
    valid: Range

    @property
    def slope_uncertainty(self) -> float:
        """Standard uncertainty of the slope."""
        return self.residual / math.sqrt(self.squares)

    @property
    def intercept_uncertainty(self) -> float:
        """Standard uncertainty of the intercept."""
        return self._at(0.0)

    def at(self, x: float) -> Measured:
        """The line's value at x, refused outside the points it was drawn through."""
        self.valid.check(x, "position", "between the least and the greatest position measured")
        return Measured(self.intercept + self.slope * x, self._at(x), self.degrees)

    def _at(self, x: float) -> float:
        count = self.degrees + 2
        return self.residual * math.sqrt(1 / count + (x - self.centre) ** 2 / self.squares)


def line_through(points: Sequence[tuple[float, float]]) -> Line:
    """Straight line y = a + b x through three or more points, all error in y.

    Formula: b = sum((x - X)(y - Y))/sum((x - X)^2);  a = Y - b X;  s^2 = sum(r^2)/(n - 2);
    u(x) = s sqrt(1/n + (x - X)^2/sum((x - X)^2)).
    Valid between the least and the greatest x.

    Args:
        points: three or more pairs x, y [any units], at least two different x.

    Source: JCGM 100:2008, H.3.2; checked against the certified NIST reference data set Norris.

    >>> line = line_through([(1, 1.1), (2, 1.9), (3, 3.1), (4, 3.9)])
    >>> round(line.slope, 3), round(line.intercept, 3), round(line.at(2.5).value, 3)
    (0.96, 0.1, 2.5)
    """
    if len(points) < 3:
        raise ValueError(f"{len(points)} points show no scatter about a line; measure at least three")
    xs, ys = [finite(x, "position") for x, _ in points], [finite(y, "value") for _, y in points]
    centre, mean = fmean(xs), fmean(ys)
    squares = math.fsum((x - centre) ** 2 for x in xs)
    if not squares > 0:
        raise ValueError("all points stand at one position; measure at least two positions")
    slope = math.fsum((x - centre) * (y - mean) for x, y in points) / squares
    residual = _residual(points, lambda x: mean + slope * (x - centre))
    return Line(slope, mean - slope * centre, residual, len(xs) - 2, centre, squares, Range(min(xs), max(xs)))


def _residual(points: Sequence[tuple[float, float]], fitted: Callable[[float], float]) -> float:
    return math.sqrt(math.fsum((y - fitted(x)) ** 2 for x, y in points) / (len(points) - 2))
