"""Blades and slots: the fit that follows from two standards, and what a slot bears."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from handwheel.engineering.blades import (
    DIN_963_SLOTS,
    ISO_SLOTS,
    NoBlade,
    Slot,
    blade,
    blade_for,
    blades,
    inch_slot,
    misfit,
    play,
    slot_torque,
)
from handwheel.engineering.ranges import OutOfRange


@pytest.mark.parametrize("row", ISO_SLOTS.rows, ids=lambda row: row["size"])
def test_the_least_slot_is_the_thickest_legal_blade(row: dict[str, str]) -> None:
    """ISO 1207 slot minimum = nominal + 0.06 = a + 0.06 of ISO 2380-1, exact in every row."""
    nominal, least = float(row["n"]), float(row["min"])
    assert least == pytest.approx(nominal + 0.06, abs=1e-9)
    fitting = [tip for tip in blades() if tip.thickness == pytest.approx(nominal / 1e3)]
    assert fitting
    assert all(tip.greatest_thickness * 1e3 == pytest.approx(least) for tip in fitting)


# Slot of ISO 1207 at its least width and head diameter; the blade follows from Table 1 of ISO 2380-1:2004.
EXPECTED = {"M1.6": "0.4x2.5", "M2": "0.5x3", "M2.5": "0.6x3.5", "M3": "0.8x4", "M3.5": "1.0x5.5", "M4": "1.2x6.5",
            "M5": "1.2x8", "M6": "1.6x10", "M8": "2.0x12", "M10": "2.5x14"}  # fmt: skip


@pytest.mark.parametrize(("size", "tip"), EXPECTED.items())
def test_blade_for_each_metric_screw(size: str, tip: str) -> None:
    """Exact. M6's head of 10 mm takes the 10 mm tip as well as the 8 mm one; the wider bears more."""
    row = ISO_SLOTS.row(size)
    assert blade_for(float(row["min"]) / 1e3, float(row["head"]) / 1e3).name == tip


# ASME B18.6.3 slot minimum, thickest ISO blade that enters.
INCH_BLADES = {"1": 0.4, "2": 0.5, "3": 0.6, "4": 0.6, "5": 0.8, "6": 0.8, "8": 1.0, "10": 1.2, "12": 1.2,
               "1/4": 1.2, "5/16": 1.6}  # fmt: skip


@pytest.mark.parametrize(("size", "thickness"), INCH_BLADES.items())
def test_blade_for_each_inch_screw(size: str, thickness: float) -> None:
    assert blade_for(inch_slot(size)[0], 0.02).thickness * 1e3 == pytest.approx(thickness)


def test_the_least_inch_slot_takes_no_blade_of_the_standard() -> None:
    with pytest.raises(NoBlade, match=r"fits a slot 0\.406 mm wide"):
        blade_for(inch_slot("0")[0], 0.003)


def test_a_blade_for_the_new_slot_is_refused_by_the_old_one() -> None:
    """DIN 963 (UNI 6109) M4 slots are 1.06 to 1.20 mm; ISO's M4 blade is 1.2 thick."""
    row = DIN_963_SLOTS.row("M4")
    for width in (float(row["min"]), float(row["max"])):
        assert "does not enter" in misfit(blade("1.2x6.5"), width / 1e3, 0.007)
        assert blade_for(width / 1e3, 0.007).thickness == pytest.approx(1.0e-3)


@pytest.mark.parametrize(
    ("tip", "width", "loose"), [("1.2x6.5", 1.51, 0.35), ("1.6x8", 1.91, 0.37), ("2.5x14", 2.81, 0.37)]
)
def test_loosest_legal_pair(tip: str, width: float, loose: float) -> None:
    """Greatest slot less the thinnest legal tip, ISO 1207 and ISO 2380-1; exact to two places."""
    assert play(blade(tip), width / 1e3) * 1e3 == pytest.approx(loose, abs=1e-6)


@given(st.floats(0.25e-3, 3.5e-3), st.floats(1.2e-3, 0.02))
def test_the_blade_offered_fits_and_no_thicker_one_does(width: float, length: float) -> None:
    try:
        best = blade_for(width, length)
    except NoBlade:
        assert all(misfit(tip, width, length) for tip in blades())
        return
    assert misfit(best, width, length) == ""
    better = [t for t in blades() if (t.thickness, t.width) > (best.thickness, best.width)]
    assert all(misfit(tip, width, length) for tip in better)


@given(st.floats(50e6, 1e9), st.floats(0.3e-3, 3e-3), st.floats(6.5e-3, 12e-3))
def test_what_a_slot_bears_is_the_moment_of_its_pressure(bearing: float, depth: float, length: float) -> None:
    """Independent oracle: SciPy integrates pressure times arm over both halves of the tip."""
    tip = blade("1.2x6.5")
    half = tip.width / 2
    moment = 2 * quad(lambda x: bearing * x / half * depth * x, 0, half)[0]
    assert slot_torque(bearing, Slot(0.00126, length, depth), tip) == pytest.approx(moment, rel=1e-9)


def test_slots_and_blades_that_cannot_be() -> None:
    with pytest.raises(OutOfRange, match="slot width -1 mm is outside"):
        Slot(-0.001, 0.007, 0.001)
    with pytest.raises(OutOfRange, match="slot length 7000 mm is outside"):
        blade_for(0.00126, 7.0)
    with pytest.raises(NoBlade, match=r"no blade '1\.3x7' in ISO 2380-1; there are 0\.4x2"):
        blade("1.3x7")
    assert "stands out of a slot" in misfit(blade("1.2x8"), 0.00126, 0.007)
