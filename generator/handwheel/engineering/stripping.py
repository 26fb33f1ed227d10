"""Stripping of threads: the area that shears, in the screw and in the hole.

Areas for least material need the limits of the thread's tolerance; where none are tabled the basic
areas are divided by `WORN`, since worn and loose threads share less metal.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.ranges import Range
from handwheel.engineering.tables import Difference, Row, Table, agrees, compare, rows_of
from handwheel.engineering.threads import Form, Thread

ENGAGEMENTS = Range(0.2e-3, 60e-3, "mm", si=1e-3)
LIMITS = Range(0.5e-3, 30e-3, "mm", si=1e-3)
WORN = 1.5
"""What basic areas are divided by: least-material 6H/6g threads have 23 to 33 % less than the basic area."""

FED_STD = Basis("FED-STD-H28/2B", "Table II.B.1, formulas (2a) and (4a)", Standing.SEEN)
_D1_FROM_MEMORY = Basis("FED-STD-H28/2B", "Table II.B.1, formula (4a)", Standing.PARTLY, "its D1 max is from memory")


def strip_area_hole(least_major: float, greatest_effective: float, pitch: float, engagement: float) -> float:
    """Area of the hole's thread that shears, A = pi (Le / P) d_min (P / 2 + (d_min - D2_max) / sqrt 3).

    Args:
        least_major: least major diameter of the screw d_min [m], 0.5 to 30 mm.
        greatest_effective: greatest effective diameter of the hole D2_max [m], 0.5 to 30 mm.
        pitch: pitch P [m], 0.15 to 4 mm.
        engagement: length of engagement Le [m], 0.2 to 60 mm.

    Returns:
        area [m^2]; 60 degree threads.

    Source: FED-STD-H28/2B, Table II.B.1, formula (2a); M5, Le = d: 49.994 mm^2.

    >>> round(strip_area_hole(0.004826, 0.004605, 0.0008, 0.005) * 1e6, 3)
    49.994
    """
    _check(least_major, greatest_effective, pitch, engagement)
    width = pitch / 2 + (least_major - greatest_effective) / math.sqrt(3)
    return math.pi * engagement / pitch * least_major * _positive(width)


def strip_area_screw(greatest_minor: float, least_effective: float, pitch: float, engagement: float) -> float:
    """Area of the screw's thread that shears, A = pi (Le / P) D1_max (P / 2 + (d2_min - D1_max) / sqrt 3).

    Args:
        greatest_minor: greatest minor diameter of the hole D1_max [m], 0.5 to 30 mm.
        least_effective: least effective diameter of the screw d2_min [m], 0.5 to 30 mm.
        pitch: pitch P [m], 0.15 to 4 mm.
        engagement: length of engagement Le [m], 0.2 to 60 mm.

    Returns:
        area [m^2]; 60 degree threads.

    Source: FED-STD-H28/2B, Table II.B.1, formula (4a); M5, Le = d: 35.366 mm^2.

    >>> round(strip_area_screw(0.004334, 0.004361, 0.0008, 0.005) * 1e6, 3)
    35.366
    """
    _check(greatest_minor, least_effective, pitch, engagement)
    width = pitch / 2 + (least_effective - greatest_minor) / math.sqrt(3)
    return math.pi * engagement / pitch * greatest_minor * _positive(width)


def _check(first: float, second: float, pitch: float, engagement: float) -> None:
    LIMITS.check(first, "limit diameter")
    LIMITS.check(second, "limit diameter")
    Range(0.15e-3, 4e-3, "mm", si=1e-3).check(pitch, "pitch")
    ENGAGEMENTS.check(engagement, "length of engagement")


def _positive(width: float) -> float:
    if width <= 0:
        raise ValueError("the limits leave no overlap of the threads: nothing holds")
    return width


def _tolerances(d: float, p: float) -> Mapping[str, float]:
    """The 6g and 6H limits [mm] by the formulas of ISO 965-1, before they are rounded to preferred numbers."""
    edge = max(low for low in (1.4, 2.8, 5.6, 11.2) if low <= d)
    effective = 90 * p**0.4 * (edge * math.sqrt(2)) ** 0.1
    minor = 433 * p - 190 * p**1.22 if p <= 0.8 else 230 * p**0.7
    allowance, major = 15 + 11 * p, 180 * p ** (2 / 3) - 3.15 / math.sqrt(p)
    d2, d1 = d - Form.ISO.effective * p, d - Form.ISO.minor * p
    return {
        "d min": d - (allowance + major) / 1e3,
        "d2 min": d2 - (allowance + effective) / 1e3,
        "D2 max": d2 + 1.32 * effective / 1e3,
        "D1 max": d1 + minor / 1e3,
    }


def _limit_rule(row: Row) -> Iterator[Difference]:
    d, p = float(row["size"].removeprefix("M")), float(row["P"])
    for column, limit in _tolerances(d, p).items():
        yield from compare(row, "size", column, limit, 7)
    hole, screw = _areas(row, d)
    for column, area, cause in (("hole area", hole, "D2 max"), ("screw area", screw, "D1 max")):
        if column in row and not agrees(row[column], area * 1e6, 0.55):
            yield Difference(row["size"], f"{column} or {cause}", row[column], f"{area * 1e6:.6g}")


def _areas(row: Row, length: float) -> tuple[float, float]:
    d_min, d2_min, big2, big1, p = (float(row[c]) / 1e3 for c in ("d min", "d2 min", "D2 max", "D1 max", "P"))
    return (strip_area_hole(d_min, big2, p, length / 1e3), strip_area_screw(big1, d2_min, p, length / 1e3))


METRIC_LIMITS = Table(
    "limits of 6g screws and 6H holes",
    "size",
    {"size": "", "P": "mm", "d min": "mm", "d2 min": "mm", "D2 max": "mm", "D1 max": "mm",
     "hole area": "mm^2", "screw area": "mm^2"},
    tuple(
        {k.replace("_", " "): v for k, v in row.items()}
        for row in rows_of(
            "size P d_min d2_min D2_max D1_max hole_area screw_area",
            """
            M3 0.5  2.874 2.580 2.775 2.599 -      -
            M4 0.7  3.838 3.433 3.663 3.422 -      -
            M5 0.8  4.826 4.361 4.605 4.334 49.994 35.366
            M6 1    5.794 5.212 5.500 5.153 73.145 51.875
            M8 1.25 7.760 7.042 7.348 6.912 134.63 97.290
            """,
        )
    ),
    Basis(
        "ISO 965-2 limits in thread charts; areas from Bickford, 4th ed., as tabled by an engineering reference",
        "6g and 6H", Standing.PARTLY, "D1 max is from memory and reproduces the published areas to the last digit",
    ),
    "the formulas of ISO 965-1 within 0.007 mm (they are rounded), and the published strip areas at Le = d",
    (_limit_rule,),
)  # fmt: skip


@dataclass(frozen=True)
class StripAreas:
    """Areas that shear [m^2] in the hole and in the screw, and what each rests on."""

    hole: float
    screw: float
    hole_basis: Basis
    screw_basis: Basis


def strip_areas(thread: Thread, engagement: float) -> StripAreas:
    """Strip areas for a named thread: least material where tabled, else the basic area divided by 1.5.

    Formula: pi n Le ds (1/(2n) + (ds - D2) / sqrt(3)) in the hole, pi n Le D1 (1/(2n) + (d2 - D1) / sqrt(3)) in the
    screw, with the limits of 6g and 6H.

    Args:
        thread: the thread.
        engagement: length of engagement [m], 0.2 to 60 mm, full turns only.

    Returns:
        areas [m^2] in the hole and in the screw.

    Source: FED-STD-H28/2B, Table II.B.1; basic areas 0.875 pi d Le and 0.75 pi D1 Le as ISO/TR 16224:2012, 4.2.3.1.

    >>> from handwheel.engineering.thread_series import thread
    >>> round(strip_areas(thread("M5"), 0.005).hole * 1e6, 3)
    49.994
    """
    ENGAGEMENTS.check(engagement, "length of engagement")
    coarse = thread.series == "ISO coarse" and thread.name in {row["size"] for row in METRIC_LIMITS.rows}
    if coarse:
        hole, screw = _areas(METRIC_LIMITS.row(thread.name), engagement * 1e3)
        return StripAreas(hole, screw, FED_STD, _D1_FROM_MEMORY)
    hole, screw = basic_strip_areas(thread, engagement)
    standing = Standing.COMPUTED if thread.form in (Form.ISO, Form.UNIFIED) else Standing.PRACTICE
    basis = Basis("ISO/TR 16224:2012", "4.2.3.1, basic sizes", standing, f"divided by {WORN} for loose threads")
    return StripAreas(hole / WORN, screw / WORN, basis, basis)


def basic_strip_areas(thread: Thread, engagement: float) -> tuple[float, float]:
    """Upper bounds of both areas from basic sizes.

    Formula: 0.875 pi d Le in the hole, 0.75 pi D1 Le in the screw.

    Args:
        thread: the thread; for 55 and 47.5 degree forms the 60 degree shares are used, common practice.
        engagement: length of engagement [m], 0.2 to 60 mm.

    Returns:
        areas [m^2] in the hole and in the screw.

    Source: ISO/TR 16224:2012, 4.2.3.1 with basic sizes.

    >>> from handwheel.engineering.thread_series import thread
    >>> [round(a * 1e6, 1) for a in basic_strip_areas(thread("M5"), 0.005)]
    [68.7, 48.7]
    """
    ENGAGEMENTS.check(engagement, "length of engagement")
    return 0.875 * math.pi * thread.diameter * engagement, 0.75 * math.pi * thread.minor * engagement
