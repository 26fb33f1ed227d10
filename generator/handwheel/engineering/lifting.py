"""The revised NIOSH lifting equation: what one person may lift here, and how a load stands against it.

Masses are in kg, lengths in metres, twist in degrees as in the equation, frequency in lifts a minute.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.lifting_tables import (
    FREQUENCY_MULTIPLIERS,
    MANUAL,
    METRIC,
    TRAVEL_BASE,
    TWIST_MOST,
    TWIST_SLOPE,
    Constants,
    Coupling,
    Duration,
)
from handwheel.engineering.ranges import Range

REACH = Range(0.0, 3.0, "cm", 0.01)
HEIGHT = Range(0.0, 3.0, "cm", 0.01)
TWIST = Range(0.0, 180.0, "degrees")
RATE = Range(0.0, 60.0, "lifts a minute")
MASS = Range(0.0, 500.0, "kg")
WIDTH = Range(0.0, 2.0, "cm", 0.01)


class NotCoveredError(ValueError):
    """The equation does not hold for this lift; the message says why."""


class Exclusion(Enum):
    """Conditions under which the equation does not hold (manual, p. 6)."""

    ONE_HANDED = "lifting with one hand"
    SEATED_OR_KNEELING = "lifting while seated or kneeling"
    RESTRICTED = "lifting in a restricted space"
    UNSTABLE = "an unstable load"
    CARRYING = "carrying, pushing or pulling at the same time"
    FAST = "lifting faster than about 0.75 m/s (30 in/s)"
    SLIPPERY = "a floor with friction below 0.4"
    HOT_OR_COLD = "well outside 19 to 26 degC or 35 to 50 % humidity"


@dataclass(frozen=True)
class Place:
    """Where the hands are at the start or the end of a lift.

    Args:
        reach: H, hands ahead of the point between the ankles [m], 0 to 3.
        height: V, hands above the floor [m], 0 to 3.
        twist: A, angle of the load off the line straight ahead [degrees], 0 to 180.
    """

    reach: float
    height: float
    twist: float = 0.0

    def __post_init__(self) -> None:
        REACH.check(self.reach, "reach (H)", MANUAL)
        HEIGHT.check(self.height, "height of the hands (V)", MANUAL)
        TWIST.check(self.twist, "twist (A)", MANUAL)


@dataclass(frozen=True)
class Lift:
    """One two-handed lift by one person, standing, from one place to another.

    Args:
        origin, destination: where the hands start and end.
        coupling: how well the hands hold the load.
        rate: lifts a minute, 0 to 60; below 0.2 counts as 0.2.
        duration: how long lifting goes on.
        placed: whether the load must be placed with care at the end; then both ends count.
        exclusions: conditions that take the lift out of the equation; any one makes it refuse.
    """

    origin: Place
    destination: Place
    coupling: Coupling
    rate: float = 0.2
    duration: Duration = Duration.SHORT
    placed: bool = True
    exclusions: frozenset[Exclusion] = frozenset()

    def __post_init__(self) -> None:
        RATE.check(self.rate, "lifts a minute (F)", MANUAL)
        if self.exclusions:
            why = ", ".join(sorted(entry.value for entry in self.exclusions))
            raise NotCoveredError(f"the equation does not cover {why} ({MANUAL}, p. 6); get help or another way")


@dataclass(frozen=True)
class Multipliers:
    """The six multipliers at one end of a lift, each 0 to 1."""

    horizontal: float
    vertical: float
    distance: float
    asymmetric: float
    frequency: float
    coupling: float

    @property
    def product(self) -> float:
        """All six multiplied."""
        parts = (self.horizontal, self.vertical, self.distance, self.asymmetric, self.frequency, self.coupling)
        return math.prod(parts)


def _in(metres: float, constants: Constants) -> float:
    """A length in the set's unit; 0.63 m is 63 cm and no hair more."""
    return round(metres / constants.length, 9)


def horizontal_multiplier(reach: float, constants: Constants = METRIC) -> float:
    """HM, loss through reaching out [1].

    Formula: HM = 25/H (10/H in inches); 1 below H = 25 cm (10 in), 0 above 63 cm (25 in).
    Args: reach: H [m], 0 to 3.  Source: NIOSH 94-110 (2021), p. 8 and table 1.

    >>> horizontal_multiplier(0.50), horizontal_multiplier(0.20), horizontal_multiplier(0.64)
    (0.5, 1.0, 0.0)
    """
    h = _in(REACH.check(reach, "reach (H)", MANUAL), constants)
    return 0.0 if h > constants.far else constants.near / max(h, constants.near)


def vertical_multiplier(height: float, constants: Constants = METRIC) -> float:
    """VM, loss through hands away from knuckle height [1].

    Formula: VM = 1 - 0.003 |V - 75| (1 - 0.0075 |V - 30| in inches); 0 above 175 cm (70 in).
    Args: height: V [m], 0 to 3.  Source: NIOSH 94-110 (2021), p. 10 and table 2.

    >>> vertical_multiplier(0.75), round(vertical_multiplier(0.0), 3), vertical_multiplier(1.76)
    (1.0, 0.775, 0.0)
    """
    v = _in(HEIGHT.check(height, "height of the hands (V)", MANUAL), constants)
    return 0.0 if v > constants.highest else 1 - constants.slope * abs(v - constants.knuckle)


def distance_multiplier(travel: float, constants: Constants = METRIC) -> float:
    """DM, loss through the height lifted or lowered [1].

    Formula: DM = 0.82 + 4.5/D (0.82 + 1.8/D in inches); 1 below 25 cm (10 in), 0 above 175 cm (70 in).
    Args: travel: D [m], 0 to 3.  Source: NIOSH 94-110 (2021), p. 11 and table 3.

    >>> distance_multiplier(0.10), round(distance_multiplier(0.90), 2), distance_multiplier(1.80)
    (1.0, 0.87, 0.0)
    """
    d = _in(HEIGHT.check(travel, "height lifted (D)", MANUAL), constants)
    return 0.0 if d > constants.long else TRAVEL_BASE + constants.travel / max(d, constants.short)


def asymmetric_multiplier(twist: float) -> float:
    """AM, loss through twisting [1].

    Formula: AM = 1 - 0.0032 A; 0 above 135 degrees.
    Args: twist: A [degrees], 0 to 180.  Source: NIOSH 94-110 (2021), p. 12 and table 4.

    >>> asymmetric_multiplier(0), round(asymmetric_multiplier(45), 3), asymmetric_multiplier(136)
    (1.0, 0.856, 0.0)
    """
    a = TWIST.check(twist, "twist (A)", MANUAL)
    return 0.0 if a > TWIST_MOST else 1 - TWIST_SLOPE * a


def frequency_multiplier(rate: float, duration: Duration, height: float, constants: Constants = METRIC) -> float:
    """FM, loss through lifting often and long [1].

    Formula: table 5, straight between its rows; below 0.2 a minute as at 0.2; above 15 a minute 0.

    Args:
        rate: F [lifts/min], 0 to 60.
        duration: how long lifting goes on.
        height: V at the origin, for both ends [m], 0 to 3.
        constants: METRIC or US, for the knuckle height.

    Source: NIOSH 94-110 (2021), table 5, p. 15; interpolation p. 7.

    >>> round(frequency_multiplier(80 / 15, Duration.SHORT, 0.75), 3), frequency_multiplier(16, Duration.SHORT, 0.8)
    (0.783, 0.0)
    """
    f = RATE.check(rate, "lifts a minute (F)", MANUAL)
    high = _in(HEIGHT.check(height, "height of the hands (V)", MANUAL), constants) >= constants.knuckle
    column = 1 + duration.column + high
    if f <= FREQUENCY_MULTIPLIERS[0][0]:
        return FREQUENCY_MULTIPLIERS[0][column]
    right = bisect_left(FREQUENCY_MULTIPLIERS, (f,))
    if right == len(FREQUENCY_MULTIPLIERS):
        return 0.0
    (left, below), (next_, above) = ((row[0], row[column]) for row in FREQUENCY_MULTIPLIERS[right - 1 : right + 1])
    return below + (above - below) * (f - left) / (next_ - left)


def coupling_multiplier(coupling: Coupling, height: float, constants: Constants = METRIC) -> float:
    """CM, loss through a poor hold [1].

    Formula: table 7, by coupling and by the height of the hands at the end in question.

    Args:
        coupling: how well the hands hold the load.
        height: V [m], 0 to 3.
        constants: METRIC or US, for the knuckle height.

    Source: NIOSH 94-110 (2021), table 7, p. 18.

    >>> coupling_multiplier(Coupling.FAIR, 0.50), coupling_multiplier(Coupling.FAIR, 0.75)
    (0.95, 1.0)
    """
    v = _in(HEIGHT.check(height, "height of the hands (V)", MANUAL), constants)
    return coupling.high if v >= constants.knuckle else coupling.low


def multipliers(lift: Lift, place: Place, constants: Constants = METRIC) -> Multipliers:
    """All six multipliers of a lift at one of its ends.

    Formula: as the six functions above; D = |V of destination - V of origin|, FM by V at the origin.

    Args:
        lift: the lift [m, degrees, lifts/min].
        place: its origin or its destination.
        constants: METRIC or US, one set for the whole calculation.

    Source: NIOSH 94-110 (2021), pp. 7 to 18, 74.

    >>> inch = 0.0254
    >>> case = Lift(Place(10 * inch, 22 * inch), Place(20 * inch, 59 * inch), Coupling.FAIR, 3)
    >>> from handwheel.engineering.lifting_tables import US
    >>> [round(value, 2) for value in vars(multipliers(case, case.origin, US)).values()]  # example 4, p. 45
    [1.0, 0.94, 0.87, 1.0, 0.88, 0.95]
    """
    return Multipliers(
        horizontal_multiplier(place.reach, constants),
        vertical_multiplier(place.height, constants),
        distance_multiplier(abs(lift.destination.height - lift.origin.height), constants),
        asymmetric_multiplier(place.twist),
        frequency_multiplier(lift.rate, lift.duration, lift.origin.height, constants),
        coupling_multiplier(lift.coupling, place.height, constants),
    )


@dataclass(frozen=True)
class Limit:
    """Recommended weight limits of a lift at both ends, and the one that governs [kg]."""

    origin: float
    destination: float
    governing: float
    constants: Constants


def weight_limit(lift: Lift, constants: Constants = METRIC) -> Limit:
    """Recommended weight limit (RWL) of a lift [kg].

    Formula: RWL = LC HM VM DM AM FM CM, LC = 23 kg (51 lb); the lower end governs when the load is placed
    with care at the destination, else the origin.

    Args:
        lift: the lift; its own limits are checked when it is made.
        constants: METRIC or US, one set for the whole calculation.

    Source: NIOSH 94-110 (2021), pp. 1, 2, 7, 21, 26.

    >>> case = Lift(Place(0.25, 0.55), Place(0.25, 1.50), Coupling.FAIR, 3)
    >>> round(weight_limit(case).origin, 2)  # 12 kg metric case: 15.7 kg
    15.68
    """
    origin, destination = (
        constants.load * constants.mass * multipliers(lift, place, constants).product
        for place in (lift.origin, lift.destination)
    )
    return Limit(origin, destination, min(origin, destination) if lift.placed else origin, constants)


def lifting_index(load: float, limit: float) -> float:
    """Lifting index: the load over its recommended weight limit [1].

    Formula: LI = L/RWL; infinite when the limit is 0.
    Args: load [kg], 0 to 500; limit [kg], not below 0.  Source: NIOSH 94-110 (2021), p. 7.

    >>> round(lifting_index(12, 15.68), 2), lifting_index(5, 0)
    (0.77, inf)
    """
    MASS.check(load, "load", MANUAL)
    MASS.check(limit, "weight limit", MANUAL)
    return load / limit if limit > 0 else math.inf


def reach_round_box(width: float, height: float, constants: Constants = METRIC) -> float:
    """H where it cannot be measured: hands at the middle of a box held against the body [m].

    Formula: H = 20 + W/2 cm for V >= 25 cm, 25 + W/2 below (8 + W/2 and 10 + W/2 in inches, at V = 10 in).

    Args:
        width: W, of the box from the body outwards [m], 0 to 2.
        height: V [m], 0 to 3.
        constants: METRIC or US.

    Source: NIOSH 94-110 (2021), p. 8.

    >>> round(reach_round_box(0.30, 0.70), 3), round(reach_round_box(0.30, 0.10), 3)
    (0.35, 0.4)
    """
    WIDTH.check(width, "width of the box (W)", MANUAL)
    low = _in(HEIGHT.check(height, "height of the hands (V)", MANUAL), constants) < constants.near
    high_clearance = 0.8 * constants.near  # 20 cm or 8 in
    return (constants.near if low else high_clearance) * constants.length + width / 2
