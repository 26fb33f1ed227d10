"""Screwdriver blades and screw slots: which blade a slot takes, and what slot and blade bear.

A blade fits when its thickness, at the top of its tolerance, still enters the slot, and its width
stays within the slot's length. The thickest that enters and the widest that fits bears most and slips least.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.ranges import Range
from handwheel.engineering.tables import Difference, Row, Table, compare, rows_of, same
from handwheel.engineering.units import INCH

SLOT_WIDTHS = Range(0.2e-3, 4e-3, "mm", si=1e-3)
SLOT_LENGTHS = Range(1e-3, 30e-3, "mm", si=1e-3)
SLOT_DEPTHS = Range(0.1e-3, 6e-3, "mm", si=1e-3)
CLEARANCE = 0.06e-3
"""Upper tolerance of a blade up to 1.2 mm thick and the least play of an ISO slot over its nominal width [m]."""


def _tip_rule(row: Row) -> Iterator[Difference]:
    a, b = float(row["a"]), float(row["b"])
    yield from _in(row, "a", {"0.4", "0.5", "0.6", "0.8", "1.0", "1.2", "1.6", "2.0", "2.5"})
    if abs(float(row["torque"]) - a * a * b) > max(0.06, 0.005 * a * a * b):
        yield Difference(row["tip"], "torque", row["torque"], f"{a * a * b:.4g}")
    yield from (
        d for d in (Difference(row["tip"], "a, b", row["tip"], f"{row['a']}x{row['b']}"),) if d.printed != d.expected
    )


def _in(row: Row, column: str, allowed: set[str]) -> Iterator[Difference]:
    if row[column] not in allowed:
        yield Difference(row["tip"], column, row[column], "a thickness of the series")


TIPS = Table(
    "hand screwdriver tips for slotted screws",
    "tip",
    {"tip": "", "a": "mm", "b": "mm", "torque": "N m"},
    rows_of(
        "tip a b torque",
        """
        0.4x2   0.4 2   0.3
        0.4x2.5 0.4 2.5 0.4
        0.5x3   0.5 3   0.7
        0.6x3   0.6 3   1.1
        0.6x3.5 0.6 3.5 1.3
        0.8x4   0.8 4   2.6
        1.0x4.5 1.0 4.5 4.5
        1.0x5.5 1.0 5.5 5.5
        1.2x6.5 1.2 6.5 9.4
        1.2x8   1.2 8   11.5
        1.6x8   1.6 8   20.5
        1.6x10  1.6 10  25.6
        2.0x12  2.0 12  48
        2.5x14  2.5 14  87.5
        """,
    ),
    Basis("ISO 2380-1:2004", "Table 1", Standing.SEEN),
    "the name of the tip, the series of thicknesses, and a^2 b, which the test torques follow within rounding",
    (_tip_rule,),
)


def _slot_rule(row: Row) -> Iterator[Difference]:
    """Slot at least 0.06 over nominal; tolerance C13 to 1 mm (0.14), C14 above (0.25)."""
    n, least = float(row["n"]), float(row["min"])
    yield from compare(row, "size", "min", n + 0.06, 0.1)
    yield from compare(row, "size", "max", least + (0.14 if n <= 1 else 0.25), 0.1)
    if not 1.6 <= float(row["head"]) / float(row["size"].removeprefix("M")) <= 1.9:
        yield Difference(row["size"], "head", row["head"], "1.6 to 1.9 of the size")


ISO_SLOTS = Table(
    "slots of metric screws",
    "size",
    {"size": "", "n": "mm", "min": "mm", "max": "mm", "head": "mm"},
    rows_of(
        "size n min max head",
        """
        M1.6 0.4 0.46 0.60 3.0
        M2   0.5 0.56 0.70 3.8
        M2.5 0.6 0.66 0.80 4.5
        M3   0.8 0.86 1.00 5.5
        M3.5 1.0 1.06 1.20 6.0
        M4   1.2 1.26 1.51 7.0
        M5   1.2 1.26 1.51 8.5
        M6   1.6 1.66 1.91 10.0
        M8   2.0 2.06 2.31 13.0
        M10  2.5 2.56 2.81 16.0
        """,
    ),
    Basis("ISO 1207", "slot width n and head diameter dk", Standing.SEEN),
    "slot min = n + 0.06 and the tolerances C13 and C14; head at 1.6 to 1.9 of the size, an observation",
    (_slot_rule,),
)


def _old_slot_rule(row: Row) -> Iterator[Difference]:
    yield from compare(row, "size", "min", float(row["n"]) + 0.06, 0.1)
    yield from same(row, "size", "max", f"{float(row['min']) + 0.14:.2f}")


DIN_963_SLOTS = Table(
    "slots of older metric countersunk screws, where they differ",
    "size",
    {"size": "", "n": "mm", "min": "mm", "max": "mm"},
    rows_of("size n min max", "M3.5 0.8 0.86 1.00\nM4 1.0 1.06 1.20"),
    Basis("UNI 6109 (as DIN 963); BS 4183", "slot width", Standing.SEEN),
    "slot min = n + 0.06 and the tolerance C13",
    (_old_slot_rule,),
)


def _inch_slot_rule(row: Row) -> Iterator[Difference]:
    for column, scale in (("max mm", row["max"]), ("min mm", row["min"])):
        yield from compare(row, "size", column, float(scale) * 25.4)


INCH_SLOTS = Table(
    "slots of inch machine screws",
    "size",
    {"size": "", "max": "in", "min": "in", "max mm": "mm", "min mm": "mm"},
    tuple(
        dict(zip(("size", "max", "min", "max mm", "min mm"), line.split(), strict=True))
        for line in (
            "0 0.023 0.016 0.584 0.406", "1 0.026 0.019 0.660 0.483", "2 0.031 0.023 0.787 0.584",
            "3 0.035 0.027 0.889 0.686", "4 0.039 0.031 0.991 0.787", "5 0.043 0.035 1.092 0.889",
            "6 0.048 0.039 1.219 0.991", "8 0.054 0.045 1.372 1.143", "10 0.060 0.050 1.524 1.270",
            "12 0.067 0.056 1.702 1.422", "1/4 0.075 0.064 1.905 1.626", "5/16 0.084 0.072 2.134 1.829",
        )
    ),
    Basis("ASME B18.6.3", "slot width J", Standing.SEEN),
    "the same width in millimetres",
    (_inch_slot_rule,),
)  # fmt: skip

TABLES = (TIPS, ISO_SLOTS, DIN_963_SLOTS, INCH_SLOTS)


@dataclass(frozen=True)
class Blade:
    """A flat tip: thickness a and width b [m], and the torque that it is tested with [N m]."""

    name: str
    thickness: float
    width: float
    test_torque: float
    basis: Basis

    @property
    def greatest_thickness(self) -> float:
        """Thickness at the top of its tolerance [m], ISO 2380-1."""
        return self.thickness + CLEARANCE

    @property
    def least_thickness(self) -> float:
        """Thickness at the bottom of its tolerance [m]: -0.02 to 0.6, -0.04 to 1.2, -0.06 mm above."""
        below = 0.02e-3 if self.thickness < 0.7e-3 else 0.04e-3 if self.thickness < 1.4e-3 else 0.06e-3
        return self.thickness - below


@dataclass(frozen=True)
class Slot:
    """A slot as measured: width, length and depth [m]; length of a slot across a head is the head's diameter."""

    width: float
    length: float
    depth: float

    def __post_init__(self) -> None:
        SLOT_WIDTHS.check(self.width, "slot width")
        SLOT_LENGTHS.check(self.length, "slot length")
        SLOT_DEPTHS.check(self.depth, "slot depth")


class NoBlade(ValueError):  # noqa: N818 - named for what is missing
    """No blade of the standard enters the slot, or the blade asked for is none of it."""


@cache
def blades() -> tuple[Blade, ...]:
    """The tips of ISO 2380-1, thinnest first.

    Source: ISO 2380-1:2004, Table 1, seen as an image of the page.

    >>> [tip.name for tip in blades()][:2], len(blades())
    (['0.4x2', '0.4x2.5'], 14)
    """
    return tuple(
        Blade(row["tip"], float(row["a"]) / 1e3, float(row["b"]) / 1e3, float(row["torque"]), TIPS.basis)
        for row in TIPS.rows
    )


def blade(name: str) -> Blade:
    """The tip of that name, thickness x width in millimetres.

    Formula: none; Table 1 is looked up.
    Source: ISO 2380-1:2004, Table 1; test torques [N m].

    >>> blade("1.2 x 6.5").test_torque
    9.4
    """
    plain = name.replace(" ", "").replace("×", "x").removesuffix("mm")
    for tip in blades():
        if tip.name == plain:
            return tip
    raise NoBlade(f"no blade {name!r} in ISO 2380-1; there are {', '.join(tip.name for tip in blades())}")


def misfit(tip: Blade, width: float, length: float) -> str:
    """Why a tip does not fit a slot, in words; empty when it does.

    Formula: it fits when a + 0.06 mm <= slot width and b <= slot length.

    Args:
        tip: the tip.
        width: slot width [m], 0.2 to 4 mm.
        length: slot length [m], 1 to 30 mm.

    Returns:
        '' or the reason, with both figures.

    Source: ISO 2380-1:2004, Table 1, and ISO 1207: least slot and thickest legal blade of a nominal size are equal.

    >>> misfit(blade("1.2x6.5"), 0.00106, 0.007)
    'blade 1.2 mm thick, up to 1.26 mm, does not enter a slot of 1.06 mm'
    """
    SLOT_WIDTHS.check(width, "slot width")
    SLOT_LENGTHS.check(length, "slot length")
    if tip.greatest_thickness > width + 1e-9:
        thickest = tip.greatest_thickness * 1e3
        return f"blade {tip.thickness * 1e3:g} mm thick, up to {thickest:.3g} mm, does not enter a slot of {width * 1e3:.3g} mm"  # noqa: E501
    if tip.width > length + 1e-9:
        return f"blade {tip.width * 1e3:g} mm wide stands out of a slot {length * 1e3:.3g} mm long and marks the part"
    return ""


def blade_for(width: float, length: float) -> Blade:
    """The blade for a slot: the thickest that enters, then the widest that the slot holds.

    Formula: the greatest a with a + 0.06 mm <= slot width, then the greatest b <= slot length.

    Args:
        width: slot width as measured [m], 0.2 to 4 mm.
        length: slot length [m], 1 to 30 mm.

    Returns:
        the tip of ISO 2380-1.

    Raises:
        NoBlade: every tip is too thick or too wide.

    Source: ISO 2380-1:2004, Table 1; ISO 1207 (M4: 1.2 x 6.5).

    >>> blade_for(0.00126, 0.007).name, blade_for(0.000991, 0.0068).name
    ('1.2x6.5', '0.8x4')
    """
    fitting = [tip for tip in blades() if not misfit(tip, width, length)]
    if not fitting:
        told = f"{width * 1e3:.3g} mm wide and {length * 1e3:.3g} mm long"
        raise NoBlade(f"no blade of ISO 2380-1 fits a slot {told}; the least is {blades()[0].name}")
    return max(fitting, key=lambda tip: (tip.thickness, tip.width))


def play(tip: Blade, width: float) -> float:
    """The most play of a legal tip in a slot [m]: slot width less the tip at the bottom of its tolerance.

    Formula: play = n - (a - t), with t the lower tolerance of the tip.

    Args:
        tip: the tip.
        width: slot width [m], 0.2 to 4 mm.

    Returns:
        play [m]; 0.37 mm is the most between ISO slots and their own blades (M6 to M10).

    Source: ISO 2380-1:2004 and ISO 1207 tolerances.

    >>> round(play(blade("1.2x6.5"), 0.00151) * 1e3, 2)
    0.35
    """
    return SLOT_WIDTHS.check(width, "slot width") - tip.least_thickness


def slot_torque(bearing: float, slot: Slot, tip: Blade) -> float:
    """Torque at which the walls of a slot begin to give way, T = s t b^2 / 6.

    The tip turns until its two edges bear; the pressure on each wall rises from nothing at the middle
    to s at the edges, over the depth t and the width b of the tip.

    Args:
        bearing: pressure that the screw's metal stands s [Pa], 20 MPa to 2 GPa; its yield strength, at the most.
        slot: the slot; its depth t 0.1 to 6 mm counts in full, so the tip must reach the bottom.
        tip: the tip, whose width b counts up to the slot's length.

    Returns:
        torque [N m].

    Source: statics of a pressure that rises in proportion to the distance from the middle; no standard gives one.

    >>> round(slot_torque(340e6, Slot(0.00126, 0.007, 0.0011), blade("1.2x6.5")), 2)
    2.63
    """
    Range(20e6, 2e9, "MPa", si=1e6).check(bearing, "bearing pressure")
    return bearing * slot.depth * min(tip.width, slot.length) ** 2 / 6


def inch_slot(size: str) -> tuple[float, float]:
    """Least and greatest slot width of an inch machine screw [m].

    Formula: none; the table is looked up.
    Source: ASME B18.6.3, slot width J.

    >>> [round(w * 1e3, 3) for w in inch_slot("6")]
    [0.991, 1.219]
    """
    row = INCH_SLOTS.row(size)
    return float(row["min"]) * INCH, float(row["max"]) * INCH
