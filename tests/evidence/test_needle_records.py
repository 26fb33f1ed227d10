"""Needle records against JIS B 9012:2000 and the rule for the pair of numbers; each slip of a digit is told."""

from __future__ import annotations

import dataclasses
from itertools import pairwise

import pytest

from handwheel.engineering.needles import SIZES
from handwheel.evidence.needles import needle_verdicts
from handwheel.evidence.verdict import Outcome
from handwheel.records.library import Library
from handwheel.records.library_records import Needle
from handwheel.records.values import Amount

BLADES = {7: 0.57, 8: 0.62, 9: 0.67, 10: 0.72, 11: 0.77, 12: 0.82, 13: 0.87, 14: 0.92, 15: 0.97, 16: 1.02}
"""Diameters as JIS B 9012:2000 prints them [mm]."""


def test_the_shipped_sizes_are_those_of_the_standard(demo: Library) -> None:
    assert {(each.metric, each.number) for each in demo.needles.values()} == {(s.metric, s.number) for s in SIZES}
    told = {each.number: each.blade.value for each in demo.needles.values() if each.blade}
    assert {number: round((value or 0) * 1e3, 3) for number, value in told.items()} == BLADES
    for each in demo.needles.values():
        assert Outcome.DIFFERS not in {verdict.outcome for verdict in needle_verdicts(demo, each)}


def test_what_is_from_memory_permits_nothing(demo: Library) -> None:
    assert not any(each.permits for each in needle_verdicts(demo, demo.needles["needle-120"]))
    assert needle_verdicts(demo, demo.needles["needle-90"])[1].permits


@pytest.mark.parametrize("change", [-10, -1, 1, 10])
def test_a_slip_of_either_number_is_told(demo: Library, change: int) -> None:
    for each in demo.needles.values():
        for wrong in ({"metric": each.metric + change}, {"number": each.number + change}):
            first = needle_verdicts(demo, dataclasses.replace(each, **wrong))[0]  # type: ignore[arg-type]
            assert first.outcome is Outcome.DIFFERS


def slips(text: str) -> list[str]:
    """The text with one digit changed, or exchanged with its neighbour."""
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    changed = [text[:i] + d + text[i + 1 :] for i in digits for d in "0123456789" if d != text[i]]
    swapped = [
        text[:i] + text[j] + text[i + 1 : j] + text[i] + text[j + 1 :]
        for i, j in pairwise(digits)
        if text[i] != text[j]
    ]
    return [*changed, *swapped]


def test_share_of_slips_in_diameters_that_is_caught(demo: Library) -> None:
    """Only a slip of up to three hundredths of a millimetre passes, which a sound needle may show too."""
    caught = tried = 0
    for each in demo.needles.values():
        if each.blade is None:
            continue
        for slip in slips(each.blade.text.removesuffix(" mm")):
            tried += 1
            caught += wrong_blade(demo, each, float(slip))
    assert tried == 289
    assert caught / tried > 0.8
    print(f"needles, blade diameters: {caught} of {tried} slips caught")


def wrong_blade(demo: Library, needle: Needle, millimetres: float) -> bool:
    assert needle.blade is not None
    amount = Amount(f"{millimetres} mm", millimetres / 1e3, "length", needle.blade.place)
    found = needle_verdicts(demo, dataclasses.replace(needle, blade=amount))
    return any(each.outcome is Outcome.DIFFERS for each in found)
