"""Needle sizes: metric number, trade number, and the blade that a micrometer finds."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.ranges import Range

RULE = Basis("trade rule: number = 8 + (Nm - 60)/5, below 19", "published page on needle numbering", Standing.SEEN)
PAIR_BY_RULE = Basis("trade rule: number = 8 + (Nm - 60)/5, below 19", "", Standing.COMPUTED)
PAIR_19 = Basis("published page on needle numbering", "size 19 breaks the pattern", Standing.PARTLY, "120 from memory")
BLADE_BASIS = Basis("JIS B 9012:2000", "row of blade diameters, reproduction", Standing.SEEN, "tolerances not seen")


@dataclass(frozen=True)
class Size:
    """One needle size.

    Args:
        metric: Nm, hundredths of a millimetre of blade diameter.
        number: trade number.
        basis: what the pair rests on.
    """

    metric: int
    number: int
    basis: Basis

    def __str__(self) -> str:
        return f"{self.metric}/{self.number}"


_BY_RULE = ((55, 7), (60, 8), (65, 9), (70, 10), (75, 11), (80, 12), (85, 13), (90, 14), (95, 15), (100, 16), (105, 17))

SIZES: tuple[Size, ...] = (
    *(Size(metric, number, PAIR_BY_RULE) for metric, number in _BY_RULE),
    Size(110, 18, PAIR_BY_RULE),
    Size(120, 19, PAIR_19),
)

BLADES: dict[int, float] = {
    **{7: 0.57, 8: 0.62, 9: 0.67, 10: 0.72, 11: 0.77},
    **{12: 0.82, 13: 0.87, 14: 0.92, 15: 0.97, 16: 1.02},
}
"""Blade diameter by trade number [mm], as printed in JIS B 9012:2000."""

SHANK = 2.02e-3
"""Diameter of the shank of a household needle [m], as printed in JIS B 9012:2000."""

BLADE = Range(0.4e-3, 1.5e-3, "mm", 1e-3)
OVER_NOMINAL = 0.02e-3
"""The standard's diameters stand this much above Nm/100 mm, at every size seen."""
ACCEPT = 0.03e-3
"""How far a sound needle may measure from the standard's diameter: the shop's allowance; tolerances were not seen."""


def size_of_metric(metric: int) -> Size:
    """The size of a metric number.

    Formula: number = 8 + (Nm - 60)/5 below 19; 120 is 19.

    Args:
        metric: Nm [0.01 mm], one of the sizes listed.

    Source: `RULE`; the pair 120/19 partly from memory.

    >>> str(size_of_metric(80)), str(size_of_metric(120))
    ('80/12', '120/19')
    """
    return _find(lambda size: size.metric == metric, f"metric needle size {metric}")


def size_of_number(number: int) -> Size:
    """The size of a trade number.

    Formula: Nm = 60 + 5 (number - 8) below 19; 19 is 120.

    Args:
        number: trade number [1], 7 to 19.

    Source: `RULE`; the pair 120/19 partly from memory.

    >>> str(size_of_number(16)), size_of_number(19).basis.standing.may_permit
    ('100/16', False)
    """
    return _find(lambda size: size.number == number, f"needle number {number}")


def _find(fits: Callable[[Size], bool], what: str) -> Size:
    found = next((size for size in SIZES if fits(size)), None)
    if found is None:
        raise ValueError(f"no {what}; the sizes are {', '.join(map(str, SIZES))}")
    return found


def blade_diameter(size: Size) -> float:
    """Diameter that a blade of a size should measure above the scarf [m].

    Formula: Nm/100 mm + 0.02 mm.  Valid for numbers 7 to 16, the sizes whose diameter was seen.
    Source: JIS B 9012:2000 (diameters seen, rule computed from them).

    >>> round(blade_diameter(size_of_metric(90)) * 1e3, 2)
    0.92
    """
    if size.number not in BLADES:
        raise ValueError(f"blade diameter of size {size}: seen only for numbers {min(BLADES)} to {max(BLADES)}")
    return BLADES[size.number] * 1e-3


@dataclass(frozen=True)
class Candidate:
    """A size that a measured blade can be, and how far the measurement lies from it [m]."""

    size: Size
    off: float


def sizes_by_blade(diameter: float, error: float = 0.01e-3) -> tuple[Candidate, ...]:
    """Sizes that a measured blade can be, nearest first; empty when none fits.

    Formula: |diameter - standard diameter| <= 0.03 mm (the shop's allowance) + error.

    Args:
        diameter: measured above the scarf, not on a reinforced part [m], 0.4 to 1.5 mm.
        error: the measurement's own error, give or take [m], 0 to 0.2 mm.

    Source: JIS B 9012:2000 for the diameters (seen for numbers 7 to 16); the place of measuring: ISO 8239 / QB/T 1513.

    >>> [str(candidate.size) for candidate in sizes_by_blade(0.82e-3, 0.005e-3)]
    ['80/12']
    """
    BLADE.check(diameter, "blade diameter")
    Range(0.0, 0.2e-3, "mm", 1e-3).check(error, "measuring error")
    known = (size for size in SIZES if size.number in BLADES)
    found = (Candidate(size, diameter - blade_diameter(size)) for size in known)
    reach = ACCEPT + error + 1e-12
    return tuple(sorted((c for c in found if abs(c.off) <= reach), key=lambda c: (abs(c.off), c.size.metric)))
