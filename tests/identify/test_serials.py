"""Serials against plain listing of the numbers in a block."""

from __future__ import annotations

import math
import random

import pytest

from handwheel.identify.evidence import SERIAL_CHARACTERS, Evidence, EvidenceError, SerialRead, read_serial
from handwheel.identify.facts import Block, VariantFacts
from handwheel.identify.posterior import posterior
from handwheel.identify.serials import block_size, block_sum, fits_block, places_of, serial_likelihood
from identify_cases import demo_tables


def _listed(block: Block) -> list[str]:
    width = len(block.last) if len(block.first) == len(block.last) else 0
    gaps = [range(int(a), int(b) + 1) for a, b in block.gaps]
    numbers = (n for n in range(int(block.first), int(block.last) + 1) if not any(n in gap for gap in gaps))
    return [f"{block.prefix}{str(n).zfill(width)}{block.suffix}" for n in numbers]


BLOCKS = (
    Block("A", "0001", "4999"),
    Block("", "95", "1203"),
    Block("KB", "00250", "01250", "X", (("00300", "00399"), ("01000", "01000"))),
    Block("", "7", "7"),
    Block("A", "0", "9"),
)


@pytest.mark.parametrize("block", BLOCKS)
@pytest.mark.parametrize("text", ["A1234", "0?5", "[38]03", "KB0030[56]X", "7", "A5", "KB01000X", "A?", "1100"])
def test_sum_over_a_block_equals_the_sum_over_its_numbers(block: Block, text: str) -> None:
    places = places_of(read_serial(text), 0.03)
    expected = 0.0
    for number in _listed(block):
        if len(number) == len(places):
            expected += math.prod(p[SERIAL_CHARACTERS.index(c)] for p, c in zip(places, number, strict=True))
    assert block_sum(block, places) == pytest.approx(expected, rel=1e-9, abs=1e-15)
    assert block_size(block) == len(_listed(block))


def test_every_way_to_read_a_character_adds_up_to_one() -> None:
    for true in range(len(SERIAL_CHARACTERS)):
        whole = sum(places_of(SerialRead((frozenset(c),)), 0.1)[0][true] for c in SERIAL_CHARACTERS)
        assert whole == pytest.approx(1, abs=1e-12)


def test_a_look_alike_is_the_likelier_slip() -> None:
    place = places_of(read_serial("8"), 0.03)[0]
    assert place[3] > 5 * place[4]


def test_a_gap_in_a_block_does_not_fit() -> None:
    assert fits_block(BLOCKS[2], read_serial("KB00299X"))
    assert not fits_block(BLOCKS[2], read_serial("KB00300X"))
    assert fits_block(BLOCKS[2], read_serial("KB00[23]99X"))


def test_one_doubtful_digit_keeps_both_blocks_in_play() -> None:
    tables = demo_tables()
    sure = posterior(tables, Evidence(serial=read_serial("A 4123"))).variants
    doubtful = posterior(tables, Evidence(serial=read_serial("A [46]123"))).variants
    assert sure[0] > 50 * sure[1]
    assert doubtful[0] / doubtful[1] == pytest.approx(4000 / 4999, rel=0.1)


def test_a_block_used_again_leaves_both_variants() -> None:
    found = posterior(demo_tables(), Evidence(serial=read_serial("B5555"))).variants
    assert found[2] == pytest.approx(found[3] * 4999 / 6000, rel=0.01)


def test_a_serial_in_no_block_is_unknown_not_false() -> None:
    found = posterior(demo_tables(), Evidence(serial=read_serial("Q123456")))
    assert max(found.variants) < 0.3
    assert 0.05 < found.none < 0.8


def test_a_variant_without_blocks_may_bear_any_serial() -> None:
    read = read_serial("A1234")
    none = serial_likelihood(VariantFacts(), read, 0.03, 0.05, 20_000.0)
    assert none == pytest.approx(1 / 20_000)
    assert serial_likelihood(VariantFacts((BLOCKS[0],)), read, 0.03, 0.05, 20_000.0) > none


def test_lower_case_blanks_and_hyphens_are_read() -> None:
    assert read_serial("a-12 3.4") == read_serial("A1234")


@pytest.mark.parametrize("text", ["", " - ", "A[", "A[]", "12[3", "12#4", "[?]1"])
def test_what_cannot_be_read_is_refused(text: str) -> None:
    with pytest.raises(EvidenceError, match="serial"):
        read_serial(text)


def test_random_blocks_against_listing() -> None:
    rng = random.Random(5)
    for _ in range(60):
        first = rng.randint(0, 3000)
        last = first + rng.randint(0, 2500)
        width = rng.choice([0, 5])
        block = Block("", str(first).zfill(width), str(last).zfill(width))
        digits = "".join(rng.choice("0123456789?") for _ in range(rng.randint(1, 5)))
        places = places_of(read_serial(digits), 0.05)
        listed = [n for n in _listed(block) if len(n) == len(places)]
        expected = sum(math.prod(p[int(c)] for p, c in zip(places, n, strict=True)) for n in listed)
        assert block_sum(block, places) == pytest.approx(expected, rel=1e-9, abs=1e-14)
