"""Strength values against published loads, and what each rests on."""

from __future__ import annotations

import pytest

from handwheel.engineering.basis import Standing
from handwheel.engineering.strength import (
    BRASS_SCREWS,
    CASTINGS,
    NoSuchMetal,
    hole_metal,
    hole_metals,
    screw_metal,
    screw_metals,
)
from handwheel.engineering.thread_series import ISO_COARSE, thread

# ISO 898-1 as tabled: size, proof load 4.8, proof load 8.8, breaking load 4.8 [N].
LOADS = [("M3", 1560, 2920, 2110), ("M4", 2720, 5100, 3690), ("M5", 4400, 8230, 5960), ("M8", 11400, 21200, 15400)]


@pytest.mark.parametrize(("size", "proof48", "proof88", "breaking"), LOADS)
def test_published_loads_follow_from_area_and_stress(
    size: str, proof48: float, proof88: float, breaking: float
) -> None:
    """0.5 %: the standard works from the tabulated area and rounds loads to three digits."""
    area = float(ISO_COARSE.row(size)["As"]) * 1e-6
    assert area * 310e6 == pytest.approx(proof48, rel=5e-3)
    assert area * 580e6 == pytest.approx(proof88, rel=5e-3)
    assert area * screw_metal("4.8").tensile == pytest.approx(breaking, rel=5e-3)


@pytest.mark.parametrize(("size", "load"), [("M3", 2210), ("M3.5", 2980), ("M4", 3860), ("M5", 6250), ("M6", 8840)])
def test_brass_breaking_loads(size: str, load: float) -> None:
    """ISO 8839, CU2 and CU3 (440 MPa): 0.5 %, three printed digits."""
    assert thread(size).stress_area * screw_metal("brass").tensile == pytest.approx(load, rel=5e-3)


def test_brass_is_tightened_below_what_breaks_it() -> None:
    """ISO 8839 breaking torques; the supplier's tightening torques lie at 0.58 to 0.67 of them."""
    rows = [row for row in BRASS_SCREWS.rows if "tightening" in row]
    assert len(rows) == 6
    for row in rows:
        assert 0.57 <= float(row["tightening"]) / float(row["breaking torque"]) <= 0.68


def test_where_two_sources_disagree_the_lower_stands_at_the_lower_end() -> None:
    """Class 20 iron: 26 ksi (ASTM A48 data) against 32 ksi in a handbook copy; EN 1561's annex has 170 MPa."""
    iron = hole_metal("grey iron")
    assert iron.shear.low <= float(CASTINGS.row("grey iron, class 20 (EN-GJL-150)")["shear"]) * 1e6
    assert iron.shear.high == pytest.approx(32 * 6.894757e6, rel=0.005)


def test_every_asked_metal_is_there_and_memory_is_marked() -> None:
    assert set(hole_metals()) == {"grey iron", "aluminium", "zinc alloy", "brass", "steel"}
    assert set(screw_metals()) >= {"4.6", "4.8", "5.8", "8.8", "brass", "unmarked steel"}
    assert hole_metal("zinc alloy").basis.standing is Standing.MEMORY
    assert hole_metal("aluminium").basis.standing is Standing.SEEN
    assert not screw_metal("unmarked steel").basis.standing.may_permit


def test_an_unknown_metal_is_told_with_the_nearest() -> None:
    with pytest.raises(NoSuchMetal, match="did you mean 'aluminium'"):
        hole_metal("aluminum")
    with pytest.raises(NoSuchMetal, match=r"no screw metal '9\.9'"):
        screw_metal("9.9")
