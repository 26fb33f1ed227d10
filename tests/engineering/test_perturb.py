"""The slip counter itself, on tables whose answer is known."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.perturb import printed, share_caught, slips

numbers = st.from_regex(r"[0-9]{1,4}(\.[0-9]{1,3})?", fullmatch=True)


@given(numbers)
def test_slips_are_one_digit_or_one_exchange(digits: str) -> None:
    count = sum(sign.isdigit() for sign in digits)
    found = list(slips(digits))
    assert 9 * count <= len(found) <= 9 * count + count - 1
    for slip in found:
        different = [(a, b) for a, b in zip(digits, slip, strict=True) if a != b]
        assert len(different) == 1 or (len(different) == 2 and different[0] == different[1][::-1])


@given(numbers)
def test_blind_laws_catch_nothing_and_exact_laws_all(digits: str) -> None:
    blind = share_caught("t", "nothing", {"a": digits}, lambda _: True)
    exact = share_caught("t", "itself", {"a": digits}, lambda cells: cells["a"] == digits)
    assert (blind.share, exact.share) == (0.0, 1.0)
    assert len(blind.missed) == blind.tried


def test_a_table_that_breaks_its_own_laws_is_no_proof() -> None:
    with pytest.raises(ValueError, match="as shipped does not agree"):
        share_caught("t", "nothing", {"a": "1"}, lambda _: False)


@given(st.floats(0.001, 99999).map(lambda value: float(f"{value:.6g}")))
def test_printed_digits_are_the_value(value: float) -> None:
    assert float(printed(value)) == value
