"""Series look-ups; what is from memory stays unverified."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.basis import Standing
from handwheel.engineering.thread_series import (
    SPECIAL_INCH,
    NoSuchThread,
    all_threads,
    measured_thread,
    nominal,
    thread,
)
from handwheel.engineering.threads import Form, Thread

SERIES = {"ISO coarse", "ISO fine", "old metric", "BA", "UNC", "UNF", "UNEF", "NS", "BSW", "BSF", "special inch"}


def test_all_series_are_there_and_names_are_unique() -> None:
    names = [t.name for t in all_threads()]
    assert len(names) == len(set(names))
    assert {t.series for t in all_threads()} == SERIES


def test_every_special_inch_thread_is_unverified_until_measured() -> None:
    special = [t for t in all_threads() if t.series == "special inch"]
    assert len(special) == len(SPECIAL_INCH.rows) == 22
    assert not any(t.verified for t in special)
    assert all(t.basis.standing is Standing.MEMORY for t in special)
    shop = measured_thread("latch stud", Form.UNIFIED, 0.00436, 0.000635, "shop, micrometer, 5 readings")
    assert shop.verified
    assert shop.basis.standing is Standing.MEASURED


@pytest.mark.parametrize(("number", "inches"), [("0", 0.060), ("2", 0.086), ("6", 0.138), ("10", 0.190), ("12", 0.216)])
def test_number_sizes(number: str, inches: float) -> None:
    """ASME B1.1: D = 0.060 + 0.013 N."""
    assert nominal(number) == pytest.approx(inches, abs=1e-9)


@given(st.sampled_from(all_threads()), st.booleans(), st.sampled_from(["", " ", "  "]))
def test_a_name_is_found_however_it_is_spaced(which: Thread, upper: bool, blank: str) -> None:
    name = which.name
    written = (name.upper() if upper else name.lower()).replace(" ", blank).replace("x", " × ")
    assert thread(written) is which


def test_a_coarse_thread_is_found_with_its_pitch() -> None:
    assert thread("M4x0.7") is thread("M4")


@pytest.mark.parametrize(
    ("name", "told"),
    [("SM 11/64-41", "the nearest is 'SM 11/64-40'"), ("M4.2", "is in no series here"), ("", "is in no series here")],
)
def test_a_thread_in_no_series_is_told(name: str, told: str) -> None:
    with pytest.raises(NoSuchThread) as caught:
        thread(name)
    assert told in str(caught.value)
