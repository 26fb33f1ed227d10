"""Ranges refuse what lies outside and say so; spans keep both ends."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.ranges import OutOfRange, Range, Span, finite

NUMBERS = st.floats(-1e6, 1e6)


def test_refusal_names_value_allowed_range_unit_and_source() -> None:
    with pytest.raises(OutOfRange, match=r"pitch -1 mm is outside 0\.2 mm to 4 mm \(ISO 261\)") as caught:
        Range(0.2e-3, 4e-3, "mm", si=1e-3).check(-1e-3, "pitch", "ISO 261")
    assert caught.value.value == -1e-3
    assert caught.value.source == "ISO 261"


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_no_number_is_in_no_range(value: float) -> None:
    with pytest.raises(OutOfRange):
        Range(0, 1).check(value, "share")
    with pytest.raises(ValueError, match="not a number that can be used"):
        finite(value, "share")


@given(NUMBERS, NUMBERS, NUMBERS)
def test_a_range_holds_exactly_what_lies_between_its_ends(low: float, high: float, value: float) -> None:
    low, high = sorted((low, high))
    assert (value in Range(low, high)) is (low <= value <= high)


def test_ranges_and_spans_do_not_run_downwards() -> None:
    for kind in (Range, Span):
        with pytest.raises(ValueError, match="cannot run from 2 to 1"):
            kind(2, 1)
    with pytest.raises(ValueError, match="error cannot be -1"):
        Span.around(5, -1)


@given(NUMBERS, NUMBERS, NUMBERS, NUMBERS, st.floats(0, 1), st.floats(0, 1))
def test_sums_and_products_of_spans_hold_those_of_their_members(
    a: float, b: float, c: float, d: float, at: float, other_at: float
) -> None:
    one, two = Span(*sorted((a, b))), Span(*sorted((c, d)))
    x = min(one.high, one.low + at * one.width)
    y = min(two.high, two.low + other_at * two.width)
    assert (one + two).low - 1e-6 <= x + y <= (one + two).high + 1e-6
    scaled = one * c
    assert scaled.low - 1e-3 <= x * c <= scaled.high + 1e-3
    assert x in one.hull(two)
    both = one.common(two)
    assert (x in two) is (both is not None and x in both)
