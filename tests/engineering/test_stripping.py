"""Strip areas against published tables and an independent library."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from screw_thread_lib.data import ASME_M_6g6H_dict, ASME_UN_2A2B_dict
from screw_thread_lib.threads import Assembly

from handwheel.engineering.basis import Standing
from handwheel.engineering.ranges import OutOfRange
from handwheel.engineering.stripping import basic_strip_areas, strip_area_hole, strip_area_screw, strip_areas
from handwheel.engineering.thread_series import all_threads, thread
from handwheel.engineering.threads import Thread

INCH = 0.0254

# Bickford, 4th ed., shear areas at Le = d [mm^2]: hole, screw.
METRIC = [("M5", 5, 49.994, 35.366), ("M6", 6, 73.145, 51.875), ("M8", 8, 134.63, 97.290)]


@pytest.mark.parametrize(("name", "length", "hole", "screw"), METRIC)
def test_metric_strip_areas(name: str, length: float, hole: float, screw: float) -> None:
    """0.005 mm^2: the last printed places of the table."""
    areas = strip_areas(thread(name), length / 1e3)
    assert areas.hole * 1e6 == pytest.approx(hole, abs=0.005)
    assert areas.screw * 1e6 == pytest.approx(screw, abs=0.005)


# The same, inch [in^2], rounded to three places; 10-24's screw area is cut off there, not rounded.
UNIFIED = [("10-24", 0.076, 0.050), ("10-32", 0.074, 0.052), ("1/4-20", 0.135, 0.092), ("1/4-28", 0.130, 0.093)]


@pytest.mark.parametrize(("name", "hole", "screw"), UNIFIED)
def test_inch_strip_areas(name: str, hole: float, screw: float) -> None:
    """0.0006 in^2 (three printed places), 0.001 for the area that is cut off."""
    limits = ASME_UN_2A2B_dict[name]
    pitch, length = INCH / limits["n"], limits["dbsc"] * INCH
    ours = strip_area_hole(limits["dmin"] * INCH, limits["D2max"] * INCH, pitch, length) / INCH**2
    assert ours == pytest.approx(hole, abs=6e-4)
    other = strip_area_screw(limits["D1max"] * INCH, limits["d2min"] * INCH, pitch, length) / INCH**2
    assert other == pytest.approx(screw, abs=1e-3 if name == "10-24" else 6e-4)


@pytest.mark.parametrize("limits", [*ASME_UN_2A2B_dict.values(), ASME_M_6g6H_dict["M8-1.25"]])
def test_strip_areas_against_a_library(limits: dict[str, float]) -> None:
    """Independent oracle: screw-thread-lib, FED-STD-H28/2B formulas (2a) and (4a); 1e-9, the same formula."""
    theirs, pitch = Assembly(limits), INCH / limits["n"]
    hole = strip_area_hole(limits["dmin"] * INCH, limits["D2max"] * INCH, pitch, 0.01)
    screw = strip_area_screw(limits["D1max"] * INCH, limits["d2min"] * INCH, pitch, 0.01)
    assert hole / INCH**2 == pytest.approx(theirs.ASn_min_FEDSTD_2a(0.01 / INCH), rel=1e-9)
    assert screw / INCH**2 == pytest.approx(theirs.ASs_min_FEDSTD_4a(0.01 / INCH), rel=1e-9)


@pytest.mark.parametrize("name", ["M3", "M4", "M5", "M6", "M8"])
def test_a_loose_thread_shares_a_quarter_to_a_third_less(name: str) -> None:
    """ISO/TR 16224 basic areas are upper bounds; dividing them by 1.5 stays below the least-material areas."""
    basic = basic_strip_areas(thread(name), 0.004)
    least = strip_areas(thread(name), 0.004)
    for ours, upper in ((least.hole, basic[0]), (least.screw, basic[1])):
        assert 0.20 <= 1 - ours / upper <= 0.34
        assert upper / 1.5 <= ours


@given(st.sampled_from(all_threads()), st.floats(0.3e-3, 0.02))
def test_area_grows_with_engagement(screw: Thread, length: float) -> None:
    one, two = strip_areas(screw, length), strip_areas(screw, 2 * length)
    assert two.hole == pytest.approx(2 * one.hole)
    assert two.screw == pytest.approx(2 * one.screw)
    assert one.screw < one.hole


def test_where_no_limits_are_tabled_the_basic_area_is_divided() -> None:
    """The divisor 1.5 covers the 23 to 33 % that loose M3 to M8 threads lack."""
    basic = basic_strip_areas(thread("SM 9/64-40"), 0.004)
    assert strip_areas(thread("SM 9/64-40"), 0.004).hole == pytest.approx(basic[0] / 1.5)
    assert strip_areas(thread("SM 9/64-40"), 0.004).screw == pytest.approx(basic[1] / 1.5)


def test_what_an_area_rests_on_is_said() -> None:
    assert strip_areas(thread("M4"), 0.004).hole_basis.standing is Standing.SEEN
    assert strip_areas(thread("M4"), 0.004).screw_basis.standing is Standing.PARTLY
    assert strip_areas(thread("SM 9/64-40"), 0.004).hole_basis.standing is Standing.COMPUTED
    assert strip_areas(thread("2 BA"), 0.004).hole_basis.standing is Standing.PRACTICE


def test_bad_lengths_and_limits_are_refused() -> None:
    with pytest.raises(OutOfRange, match=r"length of engagement -4 mm is outside 0\.2 mm to 60 mm"):
        strip_areas(thread("M4"), -0.004)
    with pytest.raises(OutOfRange, match="length of engagement 4000 mm"):
        strip_areas(thread("M4"), 4)
    with pytest.raises(ValueError, match="no overlap of the threads"):
        strip_area_hole(0.0040, 0.0050, 0.0007, 0.004)
