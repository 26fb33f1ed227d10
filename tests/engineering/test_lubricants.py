"""Oil and grease classes against ISO 3448 and the NLGI table of ASTM D217."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.basis import Standing
from handwheel.engineering.lubricants import (
    CONSISTENCIES,
    GRADES,
    LIGHT_OIL_BASIS,
    LIGHT_OIL_GRADES,
    consistency_of,
    grade,
    grade_of,
)
from handwheel.engineering.ranges import OutOfRange


@pytest.mark.parametrize(
    ("viscosity", "number"),
    [
        (10.9, 10),
        (12.0, None),
        (24.2, 22),
        (24.3, None),
        (1.98, 2),
        (1.97, None),
        (1650, 1500),
        (1651, None),
        (19.8, 22),
    ],
)
def test_grade_of_a_viscosity(viscosity: float, number: int | None) -> None:
    """ISO 3448 table (seen): limits belong to the grade, gaps to none."""
    found = grade_of(viscosity * 1e-6)
    assert (found.number if found else None) == number


@pytest.mark.parametrize(
    ("penetration", "name"),
    [(280, "2"), (300, None), (445, "000"), (475, "000"), (476, None), (85, "6"), (84, None), (357, "0"), (220, "3")],
)
def test_consistency_of_a_penetration(penetration: int, name: str | None) -> None:
    """ASTM D217, note 1 (seen)."""
    found = consistency_of(penetration * 1e-4)
    assert (found.name if found else None) == name


def test_eighteen_grades_and_their_rule() -> None:
    """ISO 3448: 18 grades from 1.98 to 1650 mm^2/s, give or take 10 %."""
    assert len(GRADES) == 18
    assert (GRADES[0].least, GRADES[-1].most) == (1.98, 1650)
    for entry in GRADES:
        assert (entry.least, entry.most) == pytest.approx((0.9 * entry.middle, 1.1 * entry.middle))


def test_middles_are_near_even_steps() -> None:
    """Six steps to a tenfold, as preferred numbers: within 4 % of 10^(k/6), independent of the table's own rule."""
    for k, entry in enumerate(GRADES):
        assert entry.middle == pytest.approx(2.2 * 10 ** (k / 6), rel=0.04)


@given(st.floats(0.01, 20_000))
def test_at_most_one_grade_holds(viscosity: float) -> None:
    inside = [entry for entry in GRADES if entry.least <= viscosity <= entry.most]
    assert len(inside) <= 1
    if inside:
        assert grade_of(viscosity * 1e-6) == inside[0]


@given(st.integers(0, 620))
def test_at_most_one_class_holds(penetration: int) -> None:
    inside = [entry for entry in CONSISTENCIES if entry.least <= penetration <= entry.most]
    found = consistency_of(penetration * 1e-4)
    assert inside == ([found] if found else [])


def test_advice_from_memory_stays_marked() -> None:
    assert LIGHT_OIL_BASIS.standing is Standing.MEMORY
    assert not LIGHT_OIL_BASIS.standing.may_permit
    assert all(grade(number) for number in LIGHT_OIL_GRADES)


def test_bad_input_is_refused() -> None:
    with pytest.raises(ValueError, match="nearest is 22"):
        grade(20)
    with pytest.raises(OutOfRange, match="viscosity at 40 degC"):
        grade_of(-1e-6)
    with pytest.raises(OutOfRange, match="viscosity at 40 degC"):
        grade_of(22)  # mm^2/s given for m^2/s
    with pytest.raises(ValueError, match="no oil"):
        grade_of(0.0)
    with pytest.raises(OutOfRange, match="penetration"):
        consistency_of(280)  # tenths of a millimetre given for metres
