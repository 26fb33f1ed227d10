"""Viscosity index, and viscosity at the temperature of the bench.

Kinematic viscosities are in m^2/s and temperatures in kelvin; the standards' own formulas are
in mm^2/s, and the conversion is done inside each function.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass

from handwheel.engineering.ranges import Range
from handwheel.engineering.viscosity_index_table import rows

MM2_S = 1e-6
ZERO_CELSIUS = 273.15

AT_100_DEGREES = Range(2.0e-6, 500e-6, "mm^2/s", MM2_S)
AT_40_DEGREES = Range(2.0e-6, 20_000e-6, "mm^2/s", MM2_S)
WALTHER_VISCOSITY = Range(0.21e-6, 2e7 * MM2_S, "mm^2/s", MM2_S)
BENCH_TEMPERATURE = Range(ZERO_CELSIUS, ZERO_CELSIUS + 100.0, "K")
TEMPERATURE_WORDS = "the bench, 0 to 100 degC; nearer the pour point the straight line of ASTM D341 does not hold"


def reference_oils(at_100: float) -> tuple[float, float]:
    """Viscosities at 40 degC of the reference oils of index 0 and 100 (L and H).

    Formula: Table 1 with straight interpolation for 2 <= Y <= 70 mm^2/s; above, L = 0.8353 Y^2 + 14.67 Y - 216
    and H = 0.1684 Y^2 + 11.85 Y - 97.

    Args:
        at_100: Y, kinematic viscosity at 100 degC [m^2/s], 2 to 500 mm^2/s (the upper end is the shop's).

    Source: ASTM D2270, 5.1.1 and 5.1.2 (seen).

    >>> low, high = reference_oils(8.86e-6)
    >>> round(low * 1e6, 2), round(high * 1e6, 2)
    (119.94, 69.48)
    """
    y = AT_100_DEGREES.check(at_100, "viscosity at 100 degC", "ASTM D2270, 5.1.1: not defined below 2") / MM2_S
    if y > 70:
        return (0.8353 * y**2 + 14.67 * y - 216) * MM2_S, (0.1684 * y**2 + 11.85 * y - 97) * MM2_S
    table = rows()
    right = max(1, bisect_left(table, (y,)))
    (y0, low0, high0), (y1, low1, high1) = table[right - 1], table[right]
    part = (y - y0) / (y1 - y0)
    return (low0 + part * (low1 - low0)) * MM2_S, (high0 + part * (high1 - high0)) * MM2_S


def viscosity_index(at_40: float, at_100: float) -> float:
    """Viscosity index, unrounded; the standard reports it to the nearest whole number.

    Formula: VI = 100 (L - U)/(L - H) for U >= H (procedure A); else N = log(H/U)/log(Y) and
    VI = (10^N - 1)/0.00715 + 100 (procedure B).

    Args:
        at_40: U, kinematic viscosity at 40 degC [m^2/s], 2 to 20 000 mm^2/s and above that at 100 degC.
        at_100: Y, kinematic viscosity at 100 degC [m^2/s], 2 to 500 mm^2/s.

    Source: ASTM D2270, 5.1.3, example 5.1.4 and 6.1.3 (seen); ISO 2909.

    >>> round(viscosity_index(73.30e-6, 8.86e-6), 2), round(viscosity_index(22.83e-6, 5.05e-6))
    (92.43, 156)
    """
    AT_40_DEGREES.check(at_40, "viscosity at 40 degC", "ASTM D2270")
    low, high = reference_oils(at_100)
    _check_falling(at_40, at_100)
    if at_40 >= high:
        return 100 * (low - at_40) / (low - high)
    power = math.log10(high / at_40) / math.log10(at_100 / MM2_S)
    return (10**power - 1) / 0.00715 + 100


def viscosity_of_index(index: float, at_100: float) -> float:
    """Viscosity at 40 degC [m^2/s] of the oil of a given index and viscosity at 100 degC.

    Formula: `viscosity_index` turned round.  Args: index [1], -100 to 400; at_100 [m^2/s].
    Source: ASTM D2270, 5.1.3 and 6.1.3, solved for U.

    >>> round(viscosity_of_index(92.43, 8.86e-6) * 1e6, 1)
    73.3
    """
    Range(-100.0, 400.0).check(index, "viscosity index", "the shop's limit")
    low, high = reference_oils(at_100)
    if index <= 100:
        return low - index * (low - high) / 100
    return high * float((at_100 / MM2_S) ** -math.log10((index - 100) * 0.00715 + 1))


def _check_falling(warm: float, hot: float) -> None:
    if not warm > hot:
        raise ValueError(
            f"an oil is thinner when hotter: {warm / MM2_S:.6g} mm^2/s at the lower temperature "
            f"must be more than {hot / MM2_S:.6g} mm^2/s at the higher; the two may be exchanged"
        )


@dataclass(frozen=True)
class Reading:
    """A kinematic viscosity at a temperature.

    Args:
        temperature: [K].
        viscosity: [m^2/s].
    """

    temperature: float
    viscosity: float


@dataclass(frozen=True)
class Thickness:
    """A computed viscosity, and whether it lies between the two readings it comes from."""

    viscosity: float
    between: bool

    @property
    def words(self) -> str:
        """What to print beside the figure."""
        return "between the two readings" if self.between else "beyond the two readings: an estimate by ASTM D341"


def viscosity_at(temperature: float, first: Reading, second: Reading) -> Thickness:
    """Kinematic viscosity of an oil at another temperature, from readings at two.

    Formula: log log Z = A - B log T, log to base 10, T in kelvin, Z = v + 0.7 + exp(-1.47 - 1.84 v - 0.51 v^2),
    v in mm^2/s; A and B from the two readings (Walther; the last term matters below 2 mm^2/s only).

    Args:
        temperature: [K], 273.15 to 373.15 (the shop's limits, narrower than the standard's charts).
        first, second: readings at two temperatures at least 10 K apart, each 0.21 to 2e7 mm^2/s.

    Raises:
        OutOfRange: a temperature or viscosity outside these limits, the result included.
        ValueError: readings too close, or an oil that thickens when heated.

    Source: ASTM D341 (formula seen in a reproduction; its limits from memory). Worked example (seen):
    32 mm^2/s at 40 degC and 5.4 at 100 degC give 8.5 at 80 degC.

    >>> oil = viscosity_at(353.15, Reading(313.15, 32e-6), Reading(373.15, 5.4e-6))
    >>> round(oil.viscosity * 1e6, 2), oil.words
    (8.53, 'between the two readings')
    """
    cold, hot = sorted((first, second), key=lambda reading: reading.temperature)
    for at in (temperature, cold.temperature, hot.temperature):
        BENCH_TEMPERATURE.check(at, "temperature", TEMPERATURE_WORDS)
    if hot.temperature - cold.temperature < 10 - 1e-9:
        raise ValueError(f"readings {hot.temperature - cold.temperature:.3g} K apart; they must be at least 10 K apart")
    _check_falling(cold.viscosity, hot.viscosity)
    line_cold, line_hot = _loglog(cold.viscosity), _loglog(hot.viscosity)
    part = math.log(temperature / cold.temperature) / math.log(hot.temperature / cold.temperature)
    found = _viscosity(line_cold + part * (line_hot - line_cold))
    WALTHER_VISCOSITY.check(found, "computed viscosity", "ASTM D341")
    return Thickness(found, cold.temperature <= temperature <= hot.temperature)


def _loglog(viscosity: float) -> float:
    v = WALTHER_VISCOSITY.check(viscosity, "kinematic viscosity", "ASTM D341") / MM2_S
    return math.log10(math.log10(_z(v)))


def _z(v: float) -> float:
    return v + 0.7 + math.exp(-1.47 - 1.84 * v - 0.51 * v**2)


def _viscosity(loglog: float) -> float:
    """Z turned round by halving: exact, where the standard's closed form is only near."""
    if loglog > math.log10(9):
        return math.inf
    z = 10**10**loglog
    low, high = 0.0, z
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (middle, high) if _z(middle) < z else (low, middle)
    return (low + high) / 2 * MM2_S
