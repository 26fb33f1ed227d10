"""Thread geometry against published tables; each tolerance says why it is what it is."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from screw_thread_lib.data import ASME_UN_2A2B_dict
from screw_thread_lib.threads import Assembly

from handwheel.engineering.ranges import OutOfRange
from handwheel.engineering.threads import (
    Form,
    Thread,
    effective_diameter,
    fundamental_height,
    lead_angle,
    minor_diameter,
    root_diameter,
    stress_area,
)

INCH = 0.0254

# JIS B 0205:1997 (ISO 724) and UNI 4535-64: d, P, d2, d1, d3 [mm]; stress areas ISO 898-1 [mm^2].
ISO = [
    (1.6, 0.35, 1.373, 1.221, 1.171, 1.27),
    (2.0, 0.40, 1.740, 1.567, 1.509, 2.07),
    (2.5, 0.45, 2.208, 2.013, 1.948, 3.39),
    (3.0, 0.50, 2.675, 2.459, 2.387, 5.03),
    (3.5, 0.60, 3.110, 2.850, 2.764, 6.78),
    (4.0, 0.70, 3.545, 3.242, 3.141, 8.78),
    (5.0, 0.80, 4.480, 4.134, 4.019, 14.2),
    (6.0, 1.00, 5.350, 4.917, 4.773, 20.1),
    (8.0, 1.25, 7.188, 6.647, 6.466, 36.6),
]


@pytest.mark.parametrize(("d", "p", "d2", "d1", "d3", "area"), ISO)
def test_iso_coarse(d: float, p: float, d2: float, d1: float, d3: float, area: float) -> None:
    """Diameters to 0.0006 mm (three printed places); areas to 0.2 % (three printed digits)."""
    at = (d / 1e3, p / 1e3)
    assert d2 == pytest.approx(effective_diameter(Form.ISO, *at) * 1e3, abs=6e-4)
    assert d1 == pytest.approx(minor_diameter(Form.ISO, *at) * 1e3, abs=6e-4)
    assert d3 == pytest.approx(root_diameter(Form.ISO, *at) * 1e3, abs=6e-4)
    assert area == pytest.approx(stress_area(Form.ISO, *at) * 1e6, rel=2e-3)


@pytest.mark.parametrize(("d", "p", "area"), [(5, 0.8, 14.183), (6, 1, 20.123), (8, 1.25, 36.609)])
def test_iso_stress_areas_to_three_decimals(d: float, p: float, area: float) -> None:
    """Bickford, Introduction to the Design and Behavior of Bolted Joints, 4th ed., metric stress areas."""
    assert area == pytest.approx(stress_area(Form.ISO, d / 1e3, p / 1e3) * 1e6, abs=1e-3)


# Shigley's Mechanical Engineering Design, 9th ed., Table 8-2 (ANSI B1.1-1974): major [in], threads per inch, At [in^2].
UNIFIED = [
    (0.0600, 80, 0.00180), (0.0730, 64, 0.00263), (0.0730, 72, 0.00278), (0.0860, 56, 0.00370), (0.0860, 64, 0.00394),
    (0.0990, 48, 0.00487), (0.0990, 56, 0.00523), (0.1120, 40, 0.00604), (0.1120, 48, 0.00661), (0.1250, 40, 0.00796),
    (0.1250, 44, 0.00830), (0.1380, 32, 0.00909), (0.1380, 40, 0.01015), (0.1640, 32, 0.0140), (0.1640, 36, 0.01474),
    (0.1900, 24, 0.0175), (0.1900, 32, 0.0200), (0.2160, 24, 0.0242), (0.2160, 28, 0.0258), (0.2500, 20, 0.0318),
    (0.2500, 28, 0.0364), (0.5000, 13, 0.1419),
]  # fmt: skip


@pytest.mark.parametrize(("d", "count", "area"), UNIFIED)
def test_unified_stress_areas(d: float, count: int, area: float) -> None:
    """0.35 %: the table rounds the effective diameter to four decimals before it takes the area."""
    assert area == pytest.approx(stress_area(Form.UNIFIED, d * INCH, INCH / count) / INCH**2, rel=3.5e-3)


def test_a_misprint_in_the_handbook_is_not_followed() -> None:
    """Shigley's Table 8-2 prints 0.00880 for 5-44; ASME B1.1 and the formula give 0.00830."""
    area = stress_area(Form.UNIFIED, 0.125 * INCH, INCH / 44) / INCH**2
    assert area == pytest.approx(0.00830, rel=2e-3)
    assert abs(area - 0.00880) > 0.0004


# Machinery's Handbook, 31st ed., p. 2115 (BS 93:1951): P, D, effective, minor [mm].
BA = [
    (1.00, 6.00, 5.400, 4.80), (0.90, 5.30, 4.760, 4.22), (0.81, 4.70, 4.215, 3.73), (0.73, 4.10, 3.660, 3.22),
    (0.66, 3.60, 3.205, 2.81), (0.59, 3.20, 2.845, 2.49), (0.53, 2.80, 2.480, 2.16), (0.48, 2.50, 2.210, 1.92),
    (0.43, 2.20, 1.940, 1.68), (0.39, 1.90, 1.665, 1.43), (0.35, 1.70, 1.490, 1.28),
]  # fmt: skip


@pytest.mark.parametrize(("p", "d", "effective", "minor"), BA)
def test_ba(p: float, d: float, effective: float, minor: float) -> None:
    """0.005 mm: BS 93 rounds the depth of thread to that."""
    assert effective == pytest.approx(effective_diameter(Form.BA, d / 1e3, p / 1e3) * 1e3, abs=0.005)
    assert minor == pytest.approx(minor_diameter(Form.BA, d / 1e3, p / 1e3) * 1e3, abs=0.005)


# BS 84 table of a fastener supplier: major, threads per inch, effective, minor [in].
BSW = [
    (0.0625, 60, 0.0518, 0.0413), (0.09375, 48, 0.0804, 0.0670), (0.1250, 40, 0.1090, 0.0930),
    (0.15625, 32, 0.1362, 0.1162), (0.1875, 24, 0.1608, 0.1341), (0.21875, 24, 0.1920, 0.1654),
    (0.2500, 20, 0.2180, 0.1860), (0.3125, 18, 0.2769, 0.2414),
]  # fmt: skip


@pytest.mark.parametrize(("d", "count", "effective", "minor"), BSW)
def test_whitworth(d: float, count: int, effective: float, minor: float) -> None:
    """0.00015 in: four printed places, and the table rounds pitch and depth before it subtracts."""
    at = (d * INCH, INCH / count)
    assert effective == pytest.approx(effective_diameter(Form.WHITWORTH, *at) / INCH, abs=1.5e-4)
    assert minor == pytest.approx(minor_diameter(Form.WHITWORTH, *at) / INCH, abs=1.5e-4)


@pytest.mark.parametrize(("form", "height"), [(Form.ISO, 0.866025), (Form.WHITWORTH, 0.960491), (Form.BA, 1.136337)])
def test_height_of_the_sharp_triangle(form: Form, height: float) -> None:
    """ISO 68-1; BS 84; BS 93 with H = 1.136337 P: six printed places."""
    assert height == pytest.approx(fundamental_height(form, 1e-3) * 1e3, abs=6e-7)


@pytest.mark.parametrize("name", ["10-24", "10-32", "1/4-20", "1/4-28", "1/2-13", "1/2-20", "3/4-10", "3/4-16"])
def test_unified_against_a_library(name: str) -> None:
    """Independent oracle: screw-thread-lib (ASME B1.1-2019); its D1 has three printed places from 10-24 up."""
    theirs = ASME_UN_2A2B_dict[name]
    thread = Thread(name, Form.UNIFIED, theirs["dbsc"] * INCH, INCH / theirs["n"])
    assert theirs["D2min"] == pytest.approx(thread.effective / INCH, abs=6e-5)
    assert theirs["D1min"] == pytest.approx(thread.minor / INCH, abs=6e-4)
    assert Assembly(theirs).As_FEDSTD_1b() == pytest.approx(thread.stress_area / INCH**2, rel=1e-6)


def test_lead_angle_of_a_worked_example() -> None:
    """1/2-13: tan L = (1/13) / (pi 0.4500), so L = 3.11 degrees; the slope itself, worked by hand."""
    assert math.degrees(lead_angle(0.45 * INCH, INCH / 13)) == pytest.approx(3.115, abs=0.002)


SIZES = st.tuples(st.sampled_from(Form), st.floats(1e-3, 12e-3), st.floats(0.06, 0.24))


@given(SIZES)
def test_diameters_stand_in_order(size: tuple[Form, float, float]) -> None:
    form, diameter, ratio = size
    thread = Thread("any", form, diameter, max(0.15e-3, ratio * diameter))
    assert 0 < thread.root <= thread.minor < thread.effective < thread.diameter
    assert math.pi / 4 * thread.root**2 <= thread.stress_area <= math.pi / 4 * thread.effective**2


@given(SIZES, st.floats(0.5, 2))
def test_geometry_scales(size: tuple[Form, float, float], by: float) -> None:
    """Twice the thread has twice the diameters, four times the area and the same lead angle."""
    form, diameter, ratio = size
    small = Thread("small", form, diameter, max(0.2e-3, ratio * diameter))
    if not 0.15e-3 <= small.pitch * by <= 4e-3 or small.diameter * by < 0.7e-3:
        return
    large = Thread("large", form, small.diameter * by, small.pitch * by)
    assert large.effective == pytest.approx(small.effective * by)
    assert large.stress_area == pytest.approx(small.stress_area * by**2)
    assert large.lead_angle == pytest.approx(small.lead_angle)


@pytest.mark.parametrize(
    ("diameter", "pitch", "told"),
    [
        (-0.004, 0.0007, "major diameter -4 mm is outside 0.7 mm to 30 mm"),
        (0.004, -0.0007, "pitch -0.7 mm is outside"),
        (0.004, 0.7, "pitch 700 mm is outside"),
        (4.0, 0.0007, "major diameter 4000 mm is outside"),
        (0.002, 0.0009, "as ratio 0.45 is outside 0.02 to 0.36"),
        (math.nan, 0.0007, "major diameter nan mm is outside"),
    ],
)
def test_what_is_no_thread_is_refused(diameter: float, pitch: float, told: str) -> None:
    for function in (effective_diameter, minor_diameter, root_diameter, stress_area):
        with pytest.raises(OutOfRange) as caught:
            function(Form.ISO, diameter, pitch)
        assert told in str(caught.value)
