"""Constants and tables of the revised NIOSH lifting equation."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.basis import Basis, Standing

MANUAL = "NIOSH, Applications Manual for the Revised NIOSH Lifting Equation, DHHS (NIOSH) 94-110, rev. 9/2021"
CONSTANTS_BASIS = Basis(MANUAL, "pp. 7 to 14, two transcriptions; a handbook chapter agrees", Standing.SEEN)
FREQUENCY_BASIS = Basis(MANUAL, "table 5, p. 15, two transcriptions, all cells", Standing.SEEN)
COUPLING_BASIS = Basis(MANUAL, "table 7, p. 18", Standing.SEEN)


@dataclass(frozen=True)
class Constants:
    """One of the equation's two sets of constants. They are no exact conversions of each other: never mix them.

    Args:
        name: of the set.
        mass: one mass unit of the set [kg].
        length: one length unit of the set [m].
        load: load constant [mass unit].
        near, far: horizontal distance below which HM is 1 and above which it is 0 [length unit].
        knuckle: height at which VM is 1 [length unit].
        slope: loss of VM for each length unit away from it.
        highest: height above which VM is 0 [length unit].
        travel: constant in DM = 0.82 + travel/D [length unit].
        short, long: travel below which DM is 1 and above which it is 0 [length unit].
    """

    name: str
    mass: float
    length: float
    load: float
    near: float
    far: float
    knuckle: float
    slope: float
    highest: float
    travel: float
    short: float
    long: float
    basis: Basis = CONSTANTS_BASIS


METRIC = Constants("metric (kg, cm)", 1.0, 0.01, 23, 25, 63, 75, 0.003, 175, 4.5, 25, 175)
US = Constants("US customary (lb, in)", 0.45359237, 0.0254, 51, 10, 25, 30, 0.0075, 70, 1.8, 10, 70)

TRAVEL_BASE = 0.82
TWIST_SLOPE = 0.0032
TWIST_MOST = 135.0


class Coupling(Enum):
    """How well the hands hold the load (table 6), with table 7's multiplier below and above knuckle height."""

    GOOD = ("good", "1.00", "1.00")
    FAIR = ("fair", "0.95", "1.00")
    POOR = ("poor", "0.90", "0.90")

    def __init__(self, title: str, low: str, high: str) -> None:
        self.title = title
        self.low = float(low)
        self.high = float(high)


class Duration(Enum):
    """How long lifting goes on, and the columns of table 5 that hold then."""

    SHORT = ("up to 1 h", 0)
    MODERATE = ("more than 1 h, up to 2 h", 2)
    LONG = ("more than 2 h, up to 8 h", 4)

    def __init__(self, title: str, column: int) -> None:
        self.title = title
        self.column = column


_TABLE_5 = """
0.2 1.00 1.00 .95 .95 .85 .85
0.5 .97 .97 .92 .92 .81 .81
1 .94 .94 .88 .88 .75 .75
2 .91 .91 .84 .84 .65 .65
3 .88 .88 .79 .79 .55 .55
4 .84 .84 .72 .72 .45 .45
5 .80 .80 .60 .60 .35 .35
6 .75 .75 .50 .50 .27 .27
7 .70 .70 .42 .42 .22 .22
8 .60 .60 .35 .35 .18 .18
9 .52 .52 .30 .30 .00 .15
10 .45 .45 .26 .26 .00 .13
11 .41 .41 .00 .23 .00 .00
12 .37 .37 .00 .21 .00 .00
13 .00 .34 .00 .00 .00 .00
14 .00 .31 .00 .00 .00 .00
15 .00 .28 .00 .00 .00 .00
"""

FREQUENCY_ROWS: tuple[tuple[str, ...], ...] = tuple(tuple(line.split()) for line in _TABLE_5.strip().splitlines())
"""Lifts a minute, then FM for each duration, each below and above knuckle height; as printed. Above 15: 0."""

FREQUENCY_MULTIPLIERS: tuple[tuple[float, ...], ...] = tuple(tuple(map(float, row)) for row in FREQUENCY_ROWS)

PRINTED = {
    "HM, cm": "25 1.00 28 .89 30 .83 32 .78 34 .74 36 .69 38 .66 40 .63 42 .60 44 .57 46 .54 48 .52 50 .50 52 .48 "
    "54 .46 56 .45 58 .43 60 .42 63 .40",
    "HM, in": "10 1.00 11 .91 12 .83 13 .77 14 .71 15 .67 16 .63 17 .59 18 .56 19 .53 20 .50 21 .48 22 .46 23 .44 "
    "24 .42 25 .40",
    "VM, cm": "0 .78 10 .81 20 .84 30 .87 40 .90 50 .93 60 .96 70 .99 80 .99 90 .96 100 .93 110 .90 120 .87 130 .84 "
    "140 .81 150 .78 160 .75 170 .72 175 .70",
    "VM, in": "0 .78 5 .81 10 .85 15 .89 20 .93 25 .96 30 1.00 35 .96 40 .93 45 .89 50 .85 55 .81 60 .78 65 .74 70 .70",
    "DM, cm": "25 1.00 40 .93 55 .90 70 .88 85 .87 100 .87 115 .86 130 .86 145 .85 160 .85 175 .85",
    "DM, in": "10 1.00 15 .94 20 .91 25 .89 30 .88 35 .87 40 .87 45 .86 50 .86 55 .85 60 .85 70 .85",
    "AM, degrees": "0 1.00 15 .95 30 .90 45 .86 60 .81 75 .76 90 .71 105 .66 120 .62 135 .57",
}
"""Tables 1 to 4 of the manual as printed: argument and multiplier in turn. Used to prove the formulas only."""

PRINTED_BASIS = Basis(MANUAL, "tables 1 to 4, pp. 8 to 12, transcriptions", Standing.SEEN)

MISPRINTED = frozenset({("HM, in", "22"), ("HM, in", "23"), ("DM, cm", "130")})
"""Cells that stand one unit of the last place from the formula, in the manual itself."""
