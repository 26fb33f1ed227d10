"""A measured slot: its blade, what it bears, and the ends of the window, worked by hand beside it."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.blades import NoBlade
from handwheel.engineering.ranges import OutOfRange
from handwheel.engineering.thread_series import all_threads, thread
from handwheel.engineering.tightening import torque_at
from handwheel.evidence import screw_drive
from handwheel.evidence.screw_drive import drive_words, driven, ends, ends_words, per_newton
from handwheel.evidence.screw_table import bearing_of, gives_way


def test_examples_in_the_docs() -> None:
    found = doctest.testmod(screw_drive)
    assert found.attempted > 0
    assert found.failed == 0


def test_what_a_slot_bears() -> None:
    """By hand: 240 MPa x 1.1 mm x (6.5 mm)^2 / 6 = 1.859 N m; blade 1.2 x 6.5 is tested with 9.4 N m (ISO 2380-1)."""
    found = driven(0.00126, 0.007, 0.0011)
    assert found.bears == pytest.approx(1.859, abs=0.001)
    assert found.first.what == "the slot gives way"
    assert driven(0.00126, 0.007, None).first.torque == 9.4
    assert "from 1.86 N m" in drive_words(found)
    assert "133 N" in drive_words(found)  # 1.859 / 0.014
    assert "measure the depth" in drive_words(driven(0.00126, 0.007, None))


def test_a_shallow_slot_is_the_first_to_give() -> None:
    found = ends(thread("M4"), "aluminium", driven(0.00126, 0.007, 0.0003))
    assert found.high.what == "the slot gives way"
    assert found.high.torque < gives_way(thread("M4"), "aluminium").torque


@pytest.mark.parametrize("clamp", [1.0, 50.0, 300.0, 2000.0])
def test_the_lower_end_is_the_long_form_with_most_friction(clamp: float) -> None:
    """Torque rises with clamp in proportion, so one figure a thread serves the page; 0.16 is the most when oiled."""
    for each in all_threads()[::7]:
        right = torque_at(clamp, each, 0.16, 0.16, bearing_of(each))
        assert ends(each, "grey iron", None, clamp).low == pytest.approx(right, rel=1e-12)
        assert per_newton(each) * clamp == pytest.approx(right, rel=1e-12)


def test_a_closed_window_is_told() -> None:
    found = ends(thread("M2"), "aluminium", None, 2000.0)
    assert found.closed
    assert ends_words(found, 2000.0).startswith("no torque both holds and spares it: 2000 N")


@given(st.floats(0.0005, 0.003), st.floats(0.002, 0.02), st.floats(0.0001, 0.005), st.floats(1.01, 1.2))
def test_a_deeper_slot_bears_more(width: float, length: float, depth: float, more: float) -> None:
    try:
        one, other = driven(width, length, depth), driven(width, length, depth * more)
    except NoBlade:
        return
    assert one.bears is not None and other.bears is not None
    assert other.bears == pytest.approx(one.bears * more, rel=1e-9)


@pytest.mark.parametrize(("width", "length", "depth"), [(-0.001, 0.007, None), (0.001, 0, None), (0.001, 0.007, 0.02)])
def test_no_slot(width: float, length: float, depth: float | None) -> None:
    with pytest.raises(OutOfRange, match=r"slot (width|length|depth)"):
        driven(width, length, depth)
