"""Named limits against the codes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.electric_limits import ApplianceClass, EarthRule, Lead, Quantity, earth_limit, limits_for

ONE, TWO, THREE = ApplianceClass


@pytest.mark.parametrize(
    ("length", "limit"), [(1.5, 0.3), (5.0, 0.3), (12.4, 0.3), (12.5, 0.4), (20.0, 0.5), (57.5, 1.0), (60.0, 1.0)]
)
def test_din_vde_by_length(length: float, limit: float) -> None:
    """DIN VDE 0701-0702 (seen): 0.3 ohm to 5 m, 0.1 ohm for each further 7.5 m, at most 1 ohm."""
    assert earth_limit(EarthRule.BY_LENGTH, Lead(length)) == pytest.approx(limit)


def test_the_other_earth_rules() -> None:
    """IET Code 0.1 + R; EN 50678 0.3 ohm below 5 m; AS/NZS 3760 below 1 ohm (each seen second-hand)."""
    assert earth_limit(EarthRule.PLUS_LEAD, Lead(2, 0.06)) == pytest.approx(0.16)
    assert earth_limit(EarthRule.PLUS_LEAD, Lead(2)) is None
    assert earth_limit(EarthRule.SHORT_LEAD, Lead(4.9)) == 0.3
    assert earth_limit(EarthRule.SHORT_LEAD, Lead(5.0)) is None
    assert earth_limit(EarthRule.ONE_OHM, Lead(2)) == 1.0


@pytest.mark.parametrize(
    ("quantity", "appliance", "strictest"),
    [
        (Quantity.INSULATION, ONE, 1e6),
        (Quantity.INSULATION, TWO, 2e6),
        (Quantity.INSULATION, THREE, 0.25e6),
        (Quantity.LEAKAGE, ONE, 0.75e-3),
        (Quantity.LEAKAGE, TWO, 0.25e-3),
        (Quantity.LEAKAGE, THREE, 0.5e-3),
    ],
)
def test_the_strictest_of_all_codes(quantity: Quantity, appliance: ApplianceClass, strictest: float) -> None:
    """As stated by test contractors for the IET Code and by IEC 60335-1, 13.2 for leakage (seen)."""
    bounds = [limit.bound for limit in limits_for(quantity, appliance, Lead(2.0, 0.05))]
    assert (max if quantity is Quantity.INSULATION else min)(bounds) == pytest.approx(strictest)


@given(st.floats(0.1, 60), st.floats(0, 2), st.floats(0, 20))
def test_a_longer_lead_never_lowers_the_limit_by_length(length: float, resistance: float, more: float) -> None:
    if length + more <= 60:
        short, long = (earth_limit(EarthRule.BY_LENGTH, Lead(x, resistance)) for x in (length, length + more))
        assert short is not None
        assert long is not None
        assert short <= long <= 1.0


def test_only_class_one_has_an_earth_bond() -> None:
    assert len(limits_for(Quantity.EARTH_BOND, ONE, Lead(2.0, 0.05))) == 4
    assert limits_for(Quantity.EARTH_BOND, TWO, Lead(2.0, 0.05)) == ()


def test_below_one_ohm_means_below() -> None:
    """AS/NZS 3760: < 1 ohm."""
    marked = [limit for limit in limits_for(Quantity.EARTH_BOND, ONE, Lead(2.0, 0.05)) if limit.below]
    assert [limit.scheme for limit in marked] == ["AS/NZS 3760"]
