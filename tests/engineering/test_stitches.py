"""Stitch length, density and regulator calibration."""

from __future__ import annotations

import math
import random

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from handwheel.engineering.ranges import OutOfRange
from handwheel.engineering.stitches import (
    INCH,
    Marking,
    StitchType,
    Stretch,
    forward_against_reverse,
    scale_of,
    sewn_length,
    stitch_length,
    stitches_per_inch,
    thread_per_seam,
    try_mark,
)

UREG = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("millimetres", "count"), [(1, 25.4), (1.5, 16.93), (2, 12.7), (2.5, 10.16), (3, 8.47), (4, 6.35), (5, 5.08)]
)
def test_density_of_a_length(millimetres: float, count: float) -> None:
    """25.4 mm an inch; the pair 2.5 to 10.16 as published; half a printed digit."""
    assert stitches_per_inch(millimetres * 1e-3) == pytest.approx(count, abs=0.005)


@given(st.floats(2.1, 250))
def test_there_and_back_and_as_pint_has_it(count: float) -> None:
    assert stitches_per_inch(stitch_length(count)) == pytest.approx(count, rel=1e-12)
    assert stitch_length(count) == pytest.approx((1 / (count / UREG.inch)).to("m").magnitude, rel=1e-12)


@pytest.mark.parametrize(
    ("stitch", "thickness", "count", "used"),
    [
        (StitchType.LOCK_301, 0.01, 10, 2.2),  # published worked value, seen on two pages
        (StitchType.CHAIN_101, 0.005, 9, 3.09),  # published worked value, seen on two pages
        (StitchType.CHAIN_401, 0.01, 10, 4.2),  # formula seen, value computed
    ],
)
def test_thread_used(stitch: StitchType, thickness: float, count: float, used: float) -> None:
    assert thread_per_seam(stitch, thickness * INCH, INCH / count) == pytest.approx(used, abs=0.005)


def test_sewn_length_by_scipy() -> None:
    """The same interval from scipy's standard error and t, combined by hand."""
    stretches = [Stretch(0.0500, 20), Stretch(0.0506, 20), Stretch(0.0503, 20), Stretch(0.0501, 20)]
    values = [s.length / s.stitches for s in stretches]
    u_a, u_b = float(stats.sem(values)), 0.5e-3 / math.sqrt(3) / 20
    u = math.hypot(u_a, u_b)
    degrees = math.floor(u**4 / (u_a**4 / 3))
    sewn = sewn_length(stretches)
    assert sewn.expanded() == pytest.approx(stats.t.ppf(0.975, degrees) * u, rel=1e-9)


def test_without_reading_error_it_is_students_interval() -> None:
    stretches = [Stretch(0.0250, 10), Stretch(0.0254, 10), Stretch(0.0251, 10)]
    values = [s.stitch for s in stretches]
    low, high = stats.t.interval(0.95, 2, loc=sum(values) / 3, scale=stats.sem(values))
    span = sewn_length(stretches, 0.0).span()
    assert (span.low, span.high) == pytest.approx((low, high), rel=1e-9)


def test_the_interval_covers_the_truth_as_often_as_it_says() -> None:
    """2000 drawn samples, true 2.5 mm: 95 % give or take 3 binomial deviations (1.5 %)."""
    draw = random.Random(4)
    covered = sum(
        0.0025 in sewn_length([Stretch(draw.gauss(0.050, 0.0004), 20) for _ in range(4)], 0.0).span()
        for _ in range(2000)
    )
    assert covered / 2000 == pytest.approx(0.95, abs=0.015)


def test_a_marked_regulator() -> None:
    sewn = sewn_length([Stretch(0.0400, 20), Stretch(0.0402, 20), Stretch(0.0401, 20)])
    short = try_mark(10, Marking.PER_INCH, sewn)
    assert short.error.value == pytest.approx(0.0401 / 20 - 0.00254, rel=1e-9)
    assert "differs" in short.words
    assert try_mark(2.0, Marking.MILLIMETRES, sewn).error.words == "no difference can be told"


def _scale(bend: float) -> list[tuple[float, list[Stretch]]]:
    def length(position: float) -> float:
        return 0.001 + 0.0005 * position + bend * (position - 2) ** 2

    return [(p, [Stretch(20 * length(p), 20), Stretch(20.1 * length(p), 20)]) for p in (0.0, 1.0, 2.0, 3.0, 4.0)]


def test_an_unmarked_regulator() -> None:
    scale = scale_of(_scale(0.0))
    assert scale.length_at(2.5).value == pytest.approx(0.00225 * 1.0025, rel=1e-6)
    assert 0.00225 in scale.length_at(2.5).span()
    assert scale.position_for(scale.length_at(1.7).value) == pytest.approx(1.7, rel=1e-9)


def test_a_bent_scale_shows() -> None:
    straight, bent = scale_of(_scale(0.0)), scale_of(_scale(0.0002))
    assert bent.misfit > 10 * straight.misfit
    assert bent.length_at(2.0).expanded() > straight.length_at(2.0).expanded()


def test_forward_against_reverse() -> None:
    forward = [Stretch(0.0500, 20), Stretch(0.0502, 20), Stretch(0.0501, 20)]
    reverse = [Stretch(0.0450, 20), Stretch(0.0452, 20), Stretch(0.0451, 20)]
    assert forward_against_reverse(forward, reverse).words == "differs"
    assert forward_against_reverse(forward, forward).words == "no difference can be told"


@given(st.lists(st.floats(0.04, 0.06), min_size=2, max_size=5), st.lists(st.floats(0.04, 0.06), min_size=2, max_size=5))
def test_exchanging_the_directions_turns_the_sign(first: list[float], second: list[float]) -> None:
    a, b = [Stretch(x, 20) for x in first], [Stretch(x, 20) for x in second]
    there, back = forward_against_reverse(a, b), forward_against_reverse(b, a)
    assert there.value == pytest.approx(-back.value, abs=1e-15)
    assert there.expanded == pytest.approx(back.expanded, rel=1e-9)


@given(st.lists(st.floats(0.04, 0.06), min_size=2, max_size=6), st.floats(0, 2e-3), st.floats(1.1, 2))
def test_a_worse_rule_never_narrows_the_standard_uncertainty(lengths: list[float], a: float, more: float) -> None:
    stretches = [Stretch(x, 20) for x in lengths]
    assert sewn_length(stretches, a * more).uncertainty >= sewn_length(stretches, a).uncertainty


def test_bad_input_is_refused() -> None:
    with pytest.raises(OutOfRange, match="stitch length 2500 mm"):
        stitches_per_inch(2.5)  # millimetres given for metres
    for count in (-10, 0, math.nan, 300):
        with pytest.raises(OutOfRange, match="stitches to the inch"):
            stitch_length(count)
    with pytest.raises(ValueError, match="too few"):
        Stretch(0.0075, 3)
    with pytest.raises(OutOfRange, match="measured length"):
        Stretch(-0.05, 20)
    with pytest.raises(ValueError, match="take at least two"):
        sewn_length([Stretch(0.05, 20)])
    with pytest.raises(ValueError, match="three or more positions"):
        scale_of(_scale(0.0)[:2])
    with pytest.raises(ValueError, match="does not act"):
        scale_of([(p, [Stretch(0.05, 20)]) for p in (1, 2, 3)])
    with pytest.raises(OutOfRange, match="position 5"):
        scale_of(_scale(0.0)).length_at(5.0)
    with pytest.raises(OutOfRange, match="lengths it was tried at"):
        scale_of(_scale(0.0)).position_for(0.004)
    with pytest.raises(OutOfRange, match="seam thickness"):
        thread_per_seam(StitchType.LOCK_301, -0.001, 0.0025)
