"""Thread sizes against published relations."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.yarns import COTTON, System, number_of, tex_of

TICKETS = (System.METRIC_TICKET, System.COTTON_TICKET)


def test_published_values() -> None:
    """Ne 40/2 is 29.5 tex (mill page, seen); tex 30 in all systems (computed); tolerance half a printed digit."""
    assert tex_of(40, System.COTTON_COUNT, 2) == pytest.approx(29.5, abs=0.05)
    expected = {
        System.DTEX: 300,
        System.DENIER: 270,
        System.METRIC_COUNT: 33.33,
        System.COTTON_COUNT: 19.68,
        System.METRIC_TICKET: 100,
        System.COTTON_TICKET: 59.05,
    }
    for system, number in expected.items():
        assert number_of(30, system) == pytest.approx(number, abs=0.05)


@pytest.mark.parametrize(
    ("count", "plies", "system", "ticket", "number"),
    [
        (40, 2, System.COTTON_COUNT, System.COTTON_TICKET, 60),
        (40, 2, System.METRIC_COUNT, System.METRIC_TICKET, 60),
        (80, 2, System.METRIC_COUNT, System.METRIC_TICKET, 120),
        (60, 2, System.METRIC_COUNT, System.METRIC_TICKET, 90),
    ],
)
def test_published_tickets(count: float, plies: int, system: System, ticket: System, number: float) -> None:
    """Garment trade pages (seen)."""
    assert number_of(tex_of(count, system, plies), ticket) == pytest.approx(number, rel=1e-9)


def test_cotton_constant_as_pint_has_it() -> None:
    ureg = pint.UnitRegistry()
    assert pytest.approx((ureg.pound / (840 * ureg.yard)).to("g/km").magnitude, rel=1e-9) == COTTON
    assert round(COTTON, 2) == 590.54


@given(st.floats(1, 2000), st.sampled_from(list(System)))
def test_there_and_back(tex: float, system: System) -> None:
    number = number_of(tex, system)
    back = system.constant / number if system.indirect else number / system.constant
    assert back == pytest.approx(tex, rel=1e-9)
    if 1.001 < tex < 1999:
        assert tex_of(number, system) == pytest.approx(tex, rel=1e-9)


@given(st.floats(2, 90), st.integers(1, 12), st.sampled_from([s for s in System if s not in TICKETS]))
def test_plies_multiply(tex: float, plies: int, system: System) -> None:
    assert tex_of(number_of(tex, system), system, plies) == pytest.approx(tex * plies, rel=1e-9)


def test_bad_input_is_refused() -> None:
    for number in (0, -40, math.nan):
        with pytest.raises(ValueError, match="more than nothing"):
            tex_of(number, System.COTTON_COUNT)
    with pytest.raises(ValueError, match="leave the plies out"):
        tex_of(60, System.METRIC_TICKET, 2)
    with pytest.raises(ValueError, match="thread size"):
        number_of(0.5, System.DENIER)
    with pytest.raises(ValueError, match="plies"):
        tex_of(40, System.COTTON_COUNT, 0)
