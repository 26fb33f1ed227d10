"""Torque and clamp force against worked examples of handbooks."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.ranges import OutOfRange, Span
from handwheel.engineering.thread_series import all_threads, thread
from handwheel.engineering.threads import Form, Thread
from handwheel.engineering.tightening import (
    DRY,
    NUT_FACTOR_TABLE,
    OILED,
    Friction,
    bearing_diameter,
    clamp_at_yield,
    clamp_short,
    clamp_span,
    rim_force,
    torque_at,
    torque_handbook,
    torque_long,
    torque_short,
    torque_span,
)

INCH, LBF = 0.0254, 4.4482216152605
IN_LBF = INCH * LBF


def test_handbook_estimate_1_2_13_grade_8() -> None:
    """Machinery's Handbook, 31st ed., p. 1665, Eq. (24): 11 707 lbf, mu 0.15 gives 1158 lbf in; it rounds to 1."""
    assert torque_handbook(11707 * LBF, 0.5 * INCH, INCH / 13, 0.15) / IN_LBF == pytest.approx(1158, abs=1)


def test_long_form_shigley_example_8_3() -> None:
    """Shigley 9th ed., Ex. 8-3: 3/4-16 UNF, 25 kip, f = fc = 0.15; the answer 3551 lbf in is from memory."""
    head = 1.25 * 0.75 * INCH
    torque = torque_long(25e3 * LBF, 0.7094 * INCH, INCH / 16, math.radians(30), 0.15, 0.15, head)
    assert torque / IN_LBF == pytest.approx(3551, abs=1)


def test_short_form_shigley_example_8_3() -> None:
    """Shigley 9th ed., Ex. 8-3, Eq. (8-27), K 0.20: 3750 lbf in, exact; the answer is from memory."""
    assert torque_short(0.20, 0.75 * INCH, 25e3 * LBF) / IN_LBF == pytest.approx(3750, rel=1e-9)


VDI = [
    # thread, dw, dh [mm]: mu, clamp [kN], torque [N m]
    (8.0, 1.00, 11.63, 9.0, 0.10, 20.7, 22.8),
    (8.0, 1.00, 11.63, 9.0, 0.12, 20.2, 26.1),
    (8.0, 1.00, 11.63, 9.0, 0.14, 19.7, 29.2),
    (10.0, 1.25, 14.63, 11.0, 0.10, 32.4, 44.0),
    (10.0, 1.25, 14.63, 11.0, 0.12, 31.6, 51.0),
    (10.0, 1.25, 14.63, 11.0, 0.14, 30.8, 57.0),
    (12.0, 1.25, 16.63, 13.5, 0.10, 49.1, 79.0),
    (12.0, 1.25, 16.63, 13.5, 0.12, 48.0, 90.0),
    (12.0, 1.25, 16.63, 13.5, 0.14, 46.8, 101.0),
]


@pytest.mark.parametrize(("d", "p", "dw", "dh", "mu", "clamp", "torque"), VDI)
def test_assembly_preload_and_torque_of_vdi_2230(
    d: float, p: float, dw: float, dh: float, mu: float, clamp: float, torque: float
) -> None:
    """VDI 2230:2001, class 8.8 (640 MPa), as tabled in a fastener catalogue; dw and dh are from memory.

    0.1 kN is the last printed place; 1.5 % on torque, which is printed to two digits at M10 and M12.
    """
    screw = Thread("fine", Form.ISO, d / 1e3, p / 1e3)
    force = clamp_at_yield(screw, 640e6, mu)
    assert force / 1e3 == pytest.approx(clamp, abs=0.1)
    bearing = bearing_diameter(dw / 1e3, dh / 1e3)
    assert torque_at(force, screw, mu, mu, bearing) == pytest.approx(torque, rel=0.015)


def test_proof_of_tabled_machine_screw_torques() -> None:
    """AC 43.13-1B, Table 7-1: 10-32, tension nuts at 40 000 psi, 20 to 25 lbf in; so K lies at 0.12 to 0.19."""
    clamp = 40e3 * 0.0200 * LBF
    for torque in (20, 25):
        factor = torque * IN_LBF / (0.190 * INCH * clamp)
        assert 0.12 <= round(factor, 2) <= 0.19


THREADS = st.sampled_from(all_threads())
FRICTION = st.floats(0.05, 0.4)


@given(THREADS, st.floats(1, 5000), FRICTION, FRICTION)
def test_long_form_agrees_with_the_linear_form(screw: Thread, clamp: float, in_thread: float, under: float) -> None:
    """Machinery's Handbook, p. 1665, Eq. (22) drops the product of lead and friction, at most 6 % on these threads."""
    bearing = 1.4 * screw.diameter
    linear = screw.pitch / (2 * math.pi) + screw.effective * in_thread / (2 * math.cos(screw.form.half_angle))
    expected = clamp * (linear + under * bearing / 2)
    assert torque_at(clamp, screw, in_thread, under, bearing) == pytest.approx(expected, rel=0.06)
    assert torque_at(clamp, screw, in_thread, under, bearing) >= expected * (1 - 1e-9)


@given(THREADS, st.floats(1, 5000))
def test_work_is_kept_without_friction(screw: Thread, clamp: float) -> None:
    """One turn of torque T lifts the clamp force by one pitch: T 2 pi = F P."""
    assert torque_at(clamp, screw, 0, 0, screw.diameter) * 2 * math.pi == pytest.approx(clamp * screw.pitch)


@given(THREADS, st.floats(10, 5000), st.floats(10, 5000))
def test_torque_and_clamp_are_each_others_inverse(screw: Thread, one: float, two: float) -> None:
    clamp, bearing = Span(*sorted((one, two))), 1.4 * screw.diameter
    exact = Friction("known", Span.exactly(0.12), Span.exactly(0.15), OILED.basis)
    back = clamp_span(torque_span(clamp, screw, exact, bearing), screw, exact, bearing)
    assert (back.low, back.high) == pytest.approx((clamp.low, clamp.high))
    wide = clamp_span(torque_span(clamp, screw, DRY, bearing), screw, DRY, bearing)
    assert wide.low <= clamp.low * (1 + 1e-9)
    assert wide.high >= clamp.high * (1 - 1e-9)


def test_one_torque_clamps_most_with_least_friction() -> None:
    """Both ends worked separately: F = T / (torque per newton) at each end of the friction."""
    found = clamp_span(Span.exactly(1.0), thread("M4"), DRY, 0.00575)
    assert found.low == pytest.approx(1 / torque_at(1, thread("M4"), 0.24, 0.24, 0.00575))
    assert found.high == pytest.approx(1 / torque_at(1, thread("M4"), 0.14, 0.14, 0.00575))
    assert found.high > 1.5 * found.low


@given(st.floats(0.1, 20), st.floats(0.01, 0.1))
def test_force_at_the_rim_makes_the_torque(torque: float, handle: float) -> None:
    assert rim_force(torque, handle) * handle / 2 == pytest.approx(torque)


def test_short_form_shows_its_scatter() -> None:
    """30 % both ways is common practice; a band of K widens it further."""
    span = clamp_short(1.0, 0.004, Span(0.20, 0.30))
    assert span.low == pytest.approx(1 / (0.30 * 0.004) * 0.7)
    assert span.high == pytest.approx(1 / (0.20 * 0.004) * 1.3)


def test_where_books_disagree_the_nut_factor_is_a_band() -> None:
    """Shigley Table 8-15 has 0.30 bare and 0.20 zinc; the Handbook of Bolts and Bolted Joints 0.20 and 0.295."""
    bands = {factor.condition: factor.factor for factor in NUT_FACTOR_TABLE}
    assert bands["bare or black"] == Span(0.20, 0.30)
    assert bands["zinc plated"] == Span(0.20, 0.295)
    assert bands["cadmium plated"] == Span(0.16, 0.20)


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: torque_at(-1, thread("M4"), 0.1, 0.1, 0.006), "clamp force -1 N is outside"),
        (lambda: torque_at(1, thread("M4"), 1.2, 0.1, 0.006), "friction in the thread 1.2 is outside 0 to 1"),
        (lambda: torque_at(1, thread("M4"), 0.1, -0.1, 0.006), "friction under the head -0.1 is outside"),
        (lambda: torque_at(1, thread("M4"), 0.1, 0.1, 6.0), "mean diameter under the head 6000 mm is outside"),
        (lambda: bearing_diameter(0.006, 0.007), "hole under the head 7 mm is outside 0 mm to 6 mm"),
        (lambda: rim_force(0.7, -0.028), "handle diameter -28 mm is outside"),
        (lambda: rim_force(40, 0.028), "torque at a handle 40 N m is outside"),
        (lambda: torque_short(2.0, 0.004, 100), "nut factor K 2 is outside"),
        (lambda: clamp_at_yield(thread("M4"), 640, 0.1), "yield strength 0.00064 MPa is outside"),
        (lambda: clamp_span(Span(-1, 1), thread("M4"), DRY, 0.006), "torque -1 N m is outside"),
    ],
)
def test_what_cannot_be_is_refused(call: object, told: str) -> None:
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()
    assert told in str(caught.value)
