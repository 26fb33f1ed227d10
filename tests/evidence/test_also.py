"""What two sources give, each in its own unit: agreement within the digits written, and the size of what is left."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.units import Dimension, parse
from handwheel.evidence.also import ROUNDING, Compared, compared_with
from handwheel.evidence.verdict import Outcome
from handwheel.records.kinds import NOWHERE, Record
from handwheel.records.library import Library
from handwheel.records.library_records import Blade, Limit, Source, Thread
from handwheel.records.told_records import AlsoTold
from handwheel.records.values import Amount, Citation, Number

CITE = Citation("book", "", NOWHERE)
LIBRARY = Library(
    {"sources": {"book": Source(id="book", title="A book", kind="handbook", read="seen", count=None, note=None)}}
)


def against(record: Record) -> Compared:
    (only,) = compared_with(LIBRARY, record)
    return only


def width(own: str, other: str) -> Compared:
    amount = Amount(own, parse(own, Dimension.LENGTH), "length", NOWHERE)
    also = (AlsoTold(of="width", value=other, source=CITE, when=None, set_aside=None),)
    return against(Blade(id="b", name="b", thickness=amount, width=amount, also_told=also))


def limit(value: str, unit: str, other: str) -> Compared:
    also = (AlsoTold(of="value", value=other, source=CITE, when=None, set_aside=None),)
    number = Number(value, float(value))
    return against(
        Limit(id="l", name="l", value=number, unit=unit, sense="at most", source=CITE, note=None, also_told=also)
    )


@pytest.mark.parametrize(
    ("own", "other", "outcome"),
    [
        ("9/64 in", "3.57 mm", Outcome.AGREES),  # 3.571875 mm
        ("9/64 in", "3.58 mm", Outcome.DIFFERS),
        ("3.57 mm", "9/64 in", Outcome.AGREES),
        ("5 mm", "5.0 mm", Outcome.AGREES),
        ("13 mm", "12.6 mm", Outcome.DIFFERS),  # 13 may stand for 12.6, but a hundredth is all that rounding may hide
        ("25.4 mm", "1 in", Outcome.AGREES),
        ("0.02 in", "0.5 mm", Outcome.DIFFERS),
        ("1 1/4 in", "31.75 mm", Outcome.AGREES),
    ],
)
def test_lengths(own: str, other: str, outcome: Outcome) -> None:
    assert width(own, other).outcome is outcome


@pytest.mark.parametrize(
    ("value", "unit", "other", "outcome", "words"),
    [
        ("0.1", "Ω", "0.3 Ω", Outcome.DIFFERS, "by 0.2 Ω (200 % more)"),
        ("1", "MΩ", "1000 kohm", Outcome.AGREES, "within the digits"),
        ("60", "°C", "140 degF", Outcome.AGREES, "within the digits"),
        ("12", "months", "6 months", Outcome.DIFFERS, "by 6 months (50 % less)"),
        ("12", "stitches", "12 months", Outcome.UNCHECKED, "'12 months' is in months, and '12 stitches' in stitches"),
        ("0", "stitches", "1 stitches", Outcome.DIFFERS, "by 1 stitches"),
    ],
)
def test_limits_in_any_unit(value: str, unit: str, other: str, outcome: Outcome, words: str) -> None:
    found = limit(value, unit, other)
    assert found.outcome is outcome
    assert words in found.says


def test_a_count_is_compared_as_a_number() -> None:
    diameter = Amount("1/8 in", 0.003175, "length", NOWHERE)
    also = (AlsoTold(of="tpi", value="44", source=CITE, when=None, set_aside=None),)
    found = against(
        Thread(id="t", name="t", form="60 degree", diameter=diameter, pitch=None, tpi=40, source=None, also_told=also)
    )
    assert found.says == "by 4 (10 % more)"


@given(st.floats(0.3, 30), st.floats(-0.5, 0.5))
def test_a_difference_beyond_a_hundredth_is_never_let_pass(own: float, share: float) -> None:
    """And what agrees differs by a hundredth at the most, whatever the digits."""
    first, second = f"{own:.4f} mm", f"{own * (1 + share) / 25.4:.3f} in"
    if float(second.split(maxsplit=1)[0]) == 0:
        return
    apart = abs(parse(second, Dimension.LENGTH) / parse(first, Dimension.LENGTH) - 1)
    assert (width(first, second).outcome is Outcome.AGREES) <= (apart <= ROUNDING + 1e-9)
