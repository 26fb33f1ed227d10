"""Lamp against holder, load against what carries it."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.electrics import CAUTION, DEFERRAL
from handwheel.engineering.lamps import Carrier, Consumer, Fit, Holder, Lamp, lamp_in_holder, total_load
from handwheel.engineering.ranges import OutOfRange, Span

MARK, TOLD = Basis("marking", "", Standing.SEEN), Basis("hearsay", "", Standing.MEMORY)


def lamp(watts: float, cap: str = "small bayonet") -> Lamp:
    return Lamp(watts, Span(220, 240), cap)


def holder(watts: float | None, basis: Basis = MARK) -> Holder:
    return Holder(watts, "small bayonet", 230, basis)


@pytest.mark.parametrize(
    ("watts", "rating", "basis", "fit"),
    [
        (15, 15, MARK, Fit.NOT_OVER),
        (15.1, 15, MARK, Fit.OVER),
        (15, 15, TOLD, Fit.UNKNOWN),
        (25, 15, TOLD, Fit.OVER),
        (25, None, MARK, Fit.OVER),  # over the customary 15 W: memory may forbid
        (10, None, MARK, Fit.UNKNOWN),  # and never permits
        (60, None, MARK, Fit.OVER),  # the general figure for unmarked fittings is not used
    ],
)
def test_watts(watts: float, rating: float | None, basis: Basis, fit: Fit) -> None:
    assert lamp_in_holder(lamp(watts), holder(rating, basis)).fit is fit


def test_cap_and_voltage() -> None:
    assert lamp_in_holder(lamp(10, "screw"), holder(15)).fit is Fit.WRONG
    assert lamp_in_holder(Lamp(10, Span(110, 130), "small bayonet"), holder(15)).fit is Fit.WRONG


@given(st.floats(0.1, 100), st.none() | st.floats(0.1, 100), st.sampled_from(list(Standing)))
def test_only_a_seen_marking_permits(watts: float, rating: float | None, standing: Standing) -> None:
    told = lamp_in_holder(lamp(watts), holder(rating, Basis("b", "", standing)))
    assert told.words.endswith(f"{CAUTION} {DEFERRAL}")
    assert "safe" not in told.words.lower()
    if told.fit is Fit.NOT_OVER:
        assert standing.may_permit
        assert rating is not None
        assert watts <= rating


def test_total_load_as_pint_has_it() -> None:
    """70 W and 15 W at 230 V: 0.3696 A; a marked 0.5 A motor counts with 0.5 A."""
    ureg = pint.UnitRegistry()
    load = total_load([Consumer("motor", 70), Consumer("lamp", 15)], 230, [])
    assert load.amps == pytest.approx((85 * ureg.watt / (230 * ureg.volt)).to("A").magnitude, rel=1e-12)
    marked = total_load([Consumer("motor", 70, 0.5), Consumer("lamp", 15)], 230, [])
    assert marked.amps == pytest.approx(0.5 + 15 / 230, rel=1e-12)
    assert marked.watts == 85


@pytest.mark.parametrize(
    ("rating", "basis", "fit"),
    [(1.0, MARK, Fit.NOT_OVER), (0.3, MARK, Fit.OVER), (1.0, TOLD, Fit.UNKNOWN), (0.3, TOLD, Fit.OVER)],
)
def test_carriers(rating: float, basis: Basis, fit: Fit) -> None:
    load = total_load([Consumer("motor", 70)], 230, [Carrier("control", rating, basis)])
    name, told = load.against[0]
    assert (name, told.fit) == ("control", fit)


@given(st.lists(st.floats(0.1, 500), min_size=1, max_size=5), st.floats(1, 480))
def test_current_adds_up(watts: list[float], volts: float) -> None:
    load = total_load([Consumer("x", w) for w in watts], volts, [])
    assert load.amps * volts == pytest.approx(sum(watts), rel=1e-9)


def test_bad_input_is_refused() -> None:
    with pytest.raises(OutOfRange, match="lamp"):
        lamp(-15)
    with pytest.raises(OutOfRange, match="supply voltage"):
        total_load([Consumer("motor", 70)], 0, [])
    with pytest.raises(ValueError, match="at least one consumer"):
        total_load([], 230, [])
    with pytest.raises(OutOfRange, match="holder rating"):
        holder(0)
