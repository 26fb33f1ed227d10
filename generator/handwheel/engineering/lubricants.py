"""Lubricant classes: viscosity grades of oils and consistency numbers of greases."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.ranges import Range
from handwheel.engineering.viscosity import MM2_S

GRADES_SEEN = Basis("ISO 3448", "table of viscosity grades, reproduction", Standing.SEEN, "table number 1 from memory")
GRADES_BY_RULE = Basis(
    "ISO 3448",
    "rule: midpoint give or take 10 %, midpoints repeat by tens",
    Standing.COMPUTED,
    "that there are 18 grades, to 1500, was seen",
)
CONSISTENCY_SEEN = Basis("ASTM D217", "note 1, reproduction: NLGI consistency numbers", Standing.SEEN)
LIGHT_OIL_BASIS = Basis(
    "common practice for hand-oiled household heads",
    "",
    Standing.MEMORY,
    "no standard was found that names a grade; advice, no limit",
)


@dataclass(frozen=True)
class Grade:
    """One viscosity grade: limits of the kinematic viscosity at 40 degC [mm^2/s], as printed."""

    number: int
    middle: float
    least: float
    most: float
    basis: Basis


def _seen(*entries: tuple[int, float, float, float]) -> tuple[Grade, ...]:
    return tuple(Grade(*entry, GRADES_SEEN) for entry in entries)


def _by_rule(*entries: tuple[int, float, float, float]) -> tuple[Grade, ...]:
    return tuple(Grade(*entry, GRADES_BY_RULE) for entry in entries)


GRADES: tuple[Grade, ...] = (
    *_seen((2, 2.2, 1.98, 2.42), (3, 3.2, 2.88, 3.52), (5, 4.6, 4.14, 5.06), (7, 6.8, 6.12, 7.48)),
    *_seen((10, 10, 9.00, 11.0), (15, 15, 13.5, 16.5), (22, 22, 19.8, 24.2), (32, 32, 28.8, 35.2)),
    *_seen((46, 46, 41.4, 50.6), (68, 68, 61.2, 74.8), (100, 100, 90.0, 110), (150, 150, 135, 165)),
    *_by_rule((220, 220, 198, 242), (320, 320, 288, 352), (460, 460, 414, 506)),
    *_by_rule((680, 680, 612, 748), (1000, 1000, 900, 1100), (1500, 1500, 1350, 1650)),
)
LIGHT_OIL_GRADES = (7, 10, 15, 22)
"""Grades in ordinary use on household heads; see `LIGHT_OIL_BASIS`: may warn, never permits."""

AT_40 = Range(0.0, 20_000e-6, "mm^2/s", MM2_S)


def grade_of(at_40: float) -> Grade | None:
    """The grade that holds a viscosity at 40 degC, or None: the brackets do not touch.

    Formula: least <= viscosity <= most of the grade, limits included.

    Args:
        at_40: kinematic viscosity at 40 degC [m^2/s], above 0 and up to 20 000 mm^2/s.

    Source: ISO 3448, table (to VG 150 seen; above by the rule of the table).

    >>> grade_of(22e-6).number
    22
    >>> [grade.number if (grade := grade_of(v * 1e-6)) else None for v in (10.9, 12.0, 24.2, 24.3)]
    [10, None, 22, None]
    """
    AT_40.check(at_40, "viscosity at 40 degC", "ISO 3448")
    if at_40 == 0:
        raise ValueError("a viscosity of 0 mm^2/s is no oil")
    shown = at_40 / MM2_S
    slack = 1e-9 * shown  # 24.2e-6 / 1e-6 is a hair above 24.2, and the limit belongs to the grade
    return next((grade for grade in GRADES if grade.least - slack <= shown <= grade.most + slack), None)


def grade(number: int) -> Grade:
    """The grade of a number.

    Formula: table look-up; a number that is no grade is refused.

    Args:
        number: grade number [mm^2/s], one of the 18 of the standard.

    Source: ISO 3448, table.

    >>> grade(22).least, grade(22).most
    (19.8, 24.2)
    """
    found = next((entry for entry in GRADES if entry.number == number), None)
    if found is None:
        near = min(GRADES, key=lambda entry: abs(entry.number - number))
        known = ", ".join(str(entry.number) for entry in GRADES)
        raise ValueError(f"no ISO viscosity grade {number}; the nearest is {near.number} (grades: {known})")
    return found


@dataclass(frozen=True)
class Consistency:
    """One grease class: worked penetration at 25 degC after 60 strokes [0.1 mm], as printed."""

    name: str
    least: int
    most: int
    basis: Basis = CONSISTENCY_SEEN


CONSISTENCIES = (
    *(Consistency("000", 445, 475), Consistency("00", 400, 430), Consistency("0", 355, 385)),
    *(Consistency("1", 310, 340), Consistency("2", 265, 295), Consistency("3", 220, 250)),
    *(Consistency("4", 175, 205), Consistency("5", 130, 160), Consistency("6", 85, 115)),
)
PENETRATION = Range(0.0, 0.0620, "x 0.1 mm", 1e-4)


def consistency_of(penetration: float) -> Consistency | None:
    """The grease class that holds a worked penetration, or None: there are gaps between classes.

    Formula: least <= penetration <= most, in tenths of a millimetre, limits included.

    Args:
        penetration: worked penetration at 25 degC after 60 strokes [m], 0 to 62 mm (reach of the cone: from memory).

    Source: ASTM D217, note 1 (seen in reproduction).

    >>> consistency_of(280e-4).name
    '2'
    >>> [found.name if (found := consistency_of(p * 1e-4)) else None for p in (280, 300, 445)]
    ['2', None, '000']
    """
    shown = PENETRATION.check(penetration, "worked penetration", "ASTM D217") / 1e-4
    return next((entry for entry in CONSISTENCIES if entry.least - 1e-6 <= shown <= entry.most + 1e-6), None)
