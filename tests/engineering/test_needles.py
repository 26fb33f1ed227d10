"""Needle sizes against the trade rule and JIS B 9012."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.needles import (
    SIZES,
    blade_diameter,
    size_of_metric,
    size_of_number,
    sizes_by_blade,
)
from handwheel.engineering.ranges import OutOfRange

# Pairs as printed on packets: common practice; 80/12 and the odd 19 are on the published page seen.
PACKETS = {60: 8, 65: 9, 70: 10, 75: 11, 80: 12, 90: 14, 100: 16, 110: 18, 120: 19}
# JIS B 9012:2000, row of blade diameters, seen.
JIS = {7: 0.57, 8: 0.62, 9: 0.67, 10: 0.72, 11: 0.77, 12: 0.82, 13: 0.87, 14: 0.92, 15: 0.97, 16: 1.02}


@pytest.mark.parametrize(("metric", "number"), PACKETS.items())
def test_pairs(metric: int, number: int) -> None:
    assert size_of_metric(metric).number == number
    assert size_of_number(number).metric == metric


@pytest.mark.parametrize(("number", "millimetres"), JIS.items())
def test_blades(number: int, millimetres: float) -> None:
    assert blade_diameter(size_of_number(number)) == pytest.approx(millimetres * 1e-3, abs=1e-9)


@given(st.sampled_from([size for size in SIZES if size.number <= 16]), st.floats(-0.03e-3, 0.03e-3))
def test_a_sound_blade_finds_its_size(size: object, off: float) -> None:
    """The shop's allowance of 0.03 mm, half the step between sizes and a little more."""
    assert size in SIZES
    wanted = next(entry for entry in SIZES if entry == size)
    found = sizes_by_blade(blade_diameter(wanted) + off, 0.0)
    assert wanted in [candidate.size for candidate in found]
    assert [abs(c.off) for c in found] == sorted(abs(c.off) for c in found)


@given(st.floats(0.4e-3, 1.5e-3), st.floats(0, 0.1e-3))
def test_a_greater_error_never_loses_a_size(diameter: float, error: float) -> None:
    sharp = {c.size for c in sizes_by_blade(diameter, 0.0)}
    assert sharp <= {c.size for c in sizes_by_blade(diameter, error)}


def test_nothing_certain_that_is_not() -> None:
    """Between two sizes both are named; the pair of 19 rests partly on memory and may not permit."""
    assert {str(c.size) for c in sizes_by_blade(0.845e-3, 0.005e-3)} == {"80/12", "85/13"}
    assert not size_of_number(19).basis.standing.may_permit
    assert sizes_by_blade(1.4e-3) == ()


def test_bad_input_is_refused() -> None:
    with pytest.raises(ValueError, match="no needle number 20"):
        size_of_number(20)
    with pytest.raises(ValueError, match="no metric needle size 82"):
        size_of_metric(82)
    with pytest.raises(OutOfRange, match="blade diameter 820 mm"):
        sizes_by_blade(0.82)
    with pytest.raises(ValueError, match="seen only for numbers 7 to 16"):
        blade_diameter(size_of_number(18))


def test_the_error_of_the_micrometer_widens_the_reach() -> None:
    """0.04 mm above 80/12: out of reach of a sharp reading, within one known to 0.01 mm."""
    assert size_of_metric(80) not in [c.size for c in sizes_by_blade(0.86e-3, 0.0)]
    assert size_of_metric(80) in [c.size for c in sizes_by_blade(0.86e-3, 0.0101e-3)]
