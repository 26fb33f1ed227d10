"""Look-alikes: the worked table of differences, and where they bind."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.lookalikes import Likeness, clearance, compare, drift, look_alikes
from handwheel.engineering.thread_series import all_threads, thread
from handwheel.engineering.threads import Thread

CLASSES = {
    "A": Likeness.SAME,
    "B": Likeness.OTHER_DIAMETER,
    "C": Likeness.OTHER_ANGLE,
    "D": Likeness.BINDS,
    "E": Likeness.CROSSES,
}

# Worked by hand from nominal sizes: hole, screw, difference of d [mm], of P [%], of d2 [mm], class.
WORKED = """
SM 1/16-80; 0-80 UNF; -0.063; +0.0; -0.063; B
SM 1/16-80; M1.6; +0.013; +10.2; -0.009; E
SM 5/64-64; M2; +0.016; +0.8; +0.014; D
SM 5/64-64; 9 BA; -0.084; -1.7; -0.061; D
SM 5/64-64; 2-64 UNF; +0.200; +0.0; +0.200; B
SM 3/32-56; M2.5; +0.119; -0.8; +0.121; D
SM 3/32-56; 3-56 UNF; +0.133; +0.0; +0.133; B
SM 3/32-56; 2-56 UNC; -0.197; +0.0; -0.197; B
SM 3/32-56; 7 BA; +0.119; +5.8; +0.125; E
SM 1/8-44; 5-44 UNF; +0.000; +0.0; +0.000; A
SM 1/8-44; 5 BA; +0.025; +2.2; +0.046; D
SM 1/8-44; 5-40 UNC; +0.000; +10.0; -0.037; E
SM 1/8-40; 5-40 UNC; +0.000; +0.0; +0.000; A
SM 1/8-40; 1/8-40 BSW; +0.000; +0.0; +0.006; C
SM 1/8-40; 5 BA; +0.025; -7.1; +0.083; E
SM 9/64-40; 6-40 UNF; -0.067; +0.0; -0.067; B
SM 9/64-40; 4 BA; +0.028; +3.9; +0.045; D
SM 9/64-40; M3.5; -0.072; -5.5; -0.049; E
SM 9/64-40; 6-32 UNC; -0.067; +25.0; -0.170; E
SM 11/64-40; 8-40 NS; -0.200; +0.0; -0.200; B
SM 11/64-40; 8-36 UNF; -0.200; +11.1; -0.246; E
SM 11/64-40; M4.5; +0.134; +18.1; +0.060; E
SM 11/64-40; 3 BA; -0.266; +15.0; -0.291; E
SM 11/64-32; 8-32 UNC; -0.200; +0.0; -0.200; B
SM 11/64-32; M4.5; +0.134; -5.5; +0.163; E
SM 3/16-28; 10-28 NS; +0.064; +0.0; +0.064; B
SM 3/16-28; 10-32 UNF; +0.064; -12.5; +0.137; E
SM 3/16-28; 3/16-32 BSF; +0.000; -12.5; +0.081; E
SM 3/16-28; M5x0.9; +0.238; -0.8; +0.242; D
SM 3/16-28; 2 BA; -0.062; -10.7; +0.041; E
SM 3/16-32; 10-32 UNF; +0.064; +0.0; +0.064; B
SM 3/16-32; 3/16-32 BSF; +0.000; +0.0; +0.007; C
SM 3/16-32; 2 BA; -0.062; +2.0; -0.033; D
SM 3/16-32; M5; +0.238; +0.8; +0.233; D
SM 7/32-32; 12-32 NS; -0.070; +0.0; -0.070; B
SM 7/32-32; 7/32-28 BSF; +0.000; +14.3; -0.065; E
SM 15/64-28; M6; +0.047; +10.2; -0.013; E
SM 15/64-28; 0 BA; +0.047; +10.2; +0.036; E
SM 15/64-28; 1/4-28 UNF; +0.397; +0.0; +0.397; B
SM 1/4-24; 1/4-26 BSF; +0.000; -7.7; +0.062; E
SM 1/4-24; 1/4-28 UNF; +0.000; -14.3; +0.098; E
SM 1/4-24; 14-24 NS; -0.203; +0.0; -0.203; B
SM 1/4-40; 1/4-32 UNEF; +0.000; +25.0; -0.103; E
SM 1/4-40; 1/4-28 UNF; +0.000; +42.9; -0.177; E
SM 9/32-28; 9/32-26 BSF; +0.000; +7.7; -0.036; E
SM 9/32-28; M7; -0.144; +10.2; -0.204; E
"""  # the last digit of d2 differs by one where the worked table rounded its parts first


@pytest.mark.parametrize("line", WORKED.strip().splitlines())
def test_worked_differences(line: str) -> None:
    hole, screw, d, p, d2, letter = line.split("; ")
    found = compare(thread(screw), thread(hole))
    assert found.diameter * 1e3 == pytest.approx(float(d), abs=6e-4)
    assert found.pitch * 100 == pytest.approx(float(p), abs=0.06)
    assert found.effective * 1e3 == pytest.approx(float(d2), abs=1.6e-3)
    assert found.likeness is CLASSES[letter]
    assert not found.certain


@pytest.mark.parametrize(
    ("screw", "hole", "likeness"),
    [
        ("5-40 UNC", "1/8-40 BSW", Likeness.OTHER_ANGLE),
        ("10-32 UNF", "3/16-32 BSF", Likeness.OTHER_ANGLE),
        ("2 BA", "10-32 UNF", Likeness.BINDS),
        ("0 BA", "M6", Likeness.OTHER_ANGLE),
        ("M3x0.6", "M3", Likeness.CROSSES),
    ],
)
def test_look_alikes_within_published_standards(screw: str, hole: str, likeness: Likeness) -> None:
    """ASME B1.1, BS 84, BS 93, ISO 261: sizes of both sides read in published tables."""
    found = compare(thread(screw), thread(hole))
    assert found.likeness is likeness
    assert found.must_not_mix
    assert found.certain


@pytest.mark.parametrize(("share", "millimetres"), [(0.008, 0.04), (0.02, 0.10), (0.04, 0.20)])
def test_drift_over_five_millimetres(share: float, millimetres: float) -> None:
    """Plain geometry: share of the pitch times the engagement."""
    assert drift(0.8e-3 * (1 + share), 0.8e-3, 5e-3) * 1e3 == pytest.approx(millimetres, abs=1e-6)


def test_the_dangerous_case_starts_by_hand_and_binds_within_a_boss() -> None:
    """2 BA into 10-32: play of both tolerances over the drift; binds after a few turns, within 8 mm."""
    found = compare(thread("2 BA"), thread("10-32 UNF"))
    assert found.binds_after is not None
    turns = found.binds_after.low / found.hole.pitch, found.binds_after.high / found.hole.pitch
    assert 1 < turns[0] < turns[1] < 10


@given(st.sampled_from(all_threads()), st.sampled_from(all_threads()))
def test_where_it_binds_the_drift_has_used_up_the_play(screw: Thread, hole: Thread) -> None:
    found = compare(screw, hole)
    if found.binds_after is None or found.binds_after.high > 0.06:
        return
    play = clearance(found.hole)
    half = min(found.screw.form.half_angle, found.hole.form.half_angle)
    used = drift(found.screw.pitch, found.hole.pitch, found.binds_after.high)
    assert used == pytest.approx((play.high - found.effective) * math.tan(half))


@given(st.sampled_from(all_threads()))
def test_a_thread_is_the_same_as_itself_and_is_not_listed(own: Thread) -> None:
    assert compare(own, own).likeness is Likeness.SAME
    assert own.name not in {c.screw.name for c in look_alikes(own, all_threads())}


def test_metric_two_in_the_special_inch_hole_warns() -> None:
    assert thread("M2").name in {
        c.screw.name for c in look_alikes(thread("SM 5/64-64"), all_threads()) if c.likeness is Likeness.BINDS
    }
