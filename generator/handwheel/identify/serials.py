"""How well a serial fits the blocks of a variant, digit by digit and without listing numbers.

Numbers of one variant's blocks are taken as equally likely. The sum over a block of the product of the
digits' likelihoods is found by walking along its last number once (the usual digit-by-digit count).
Characters that are mixed up are from the list of look-alikes below: common practice, not a published
rate.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

from handwheel.identify.evidence import SERIAL_CHARACTERS, SerialRead
from handwheel.identify.facts import Block, VariantFacts

LOOK_ALIKES = ("17", "38", "56", "60", "0O", "1I", "B8", "S5", "GC", "Z2", "69")
"""Pairs that are mixed up on worn plates (common practice)."""
MIXED_UP = 0.7
"""Share of the misread characters that are read as a look-alike."""

Place = tuple[float, ...]
"""Likelihood of what was read at one place, by the character that is there."""


@lru_cache(maxsize=64)
def places_of(read: SerialRead, wrong: float) -> tuple[Place, ...]:
    """Likelihood of each place of a reading, by true character."""
    return tuple(tuple(_place(true, allowed, wrong) for true in SERIAL_CHARACTERS) for allowed in read.places)


def block_size(block: Block) -> int:
    """Numbers in a block, gaps taken out."""
    return _count(block.first, block.last) - sum(_count(*gap) for gap in block.gaps)


def block_sum(block: Block, places: Sequence[Place]) -> float:
    """Sum over the numbers of a block of the likelihood of the reading."""
    head, tail = len(block.prefix), len(places) - len(block.suffix)
    if tail - head < 1:
        return 0.0
    written = [*zip(block.prefix, places[:head], strict=True), *zip(block.suffix, places[tail:], strict=True)]
    around = math.prod(place[SERIAL_CHARACTERS.index(character)] for character, place in written)
    digits = places[head:tail]
    padded = len(block.first) == len(block.last)
    inside = _range_sum(block.first, block.last, padded, digits)
    gaps = sum(_range_sum(first, last, padded, digits) for first, last in block.gaps)
    return around * max(inside - gaps, 0.0)


def serial_likelihood(facts: VariantFacts, read: SerialRead, wrong: float, no_block: float, universe: float) -> float:
    """Likelihood of a reading for a variant; one without blocks may bear any serial."""
    anywhere = serial_background(read, universe)
    size = sum(map(block_size, facts.blocks))
    if not size:
        return anywhere
    places = places_of(read, wrong)
    return (1 - no_block) * sum(block_sum(block, places) for block in facts.blocks) / size + no_block * anywhere


def serial_background(read: SerialRead, universe: float) -> float:
    """Likelihood of a reading for a machine of no known variant."""
    return min(1.0, math.prod(min(len(place), 10) for place in read.places) / universe)


def universe_of(facts: Iterable[VariantFacts]) -> float:
    """Serials that could be met: twice those recorded, since the tables are never complete."""
    return 2.0 * max(500, sum(block_size(block) for known in facts for block in known.blocks))


def fits_block(block: Block, read: SerialRead) -> bool:
    """Whether a number of the block reads exactly so."""
    return block_sum(block, places_of(read, 0.0)) > 0.5


def _place(true: str, allowed: frozenset[str], wrong: float) -> float:
    alike = {pair.replace(true, "", 1) for pair in LOOK_ALIKES if true in pair}
    rest = len(SERIAL_CHARACTERS) - 1
    even = wrong * (1 - MIXED_UP if alike else 1.0) / rest
    each = wrong * MIXED_UP / len(alike) if alike else 0.0
    return sum((1 - wrong) if read == true else even + (each if read in alike else 0.0) for read in sorted(allowed))


def _count(first: str, last: str) -> int:
    return int(last) - int(first) + 1


def _range_sum(first: str, last: str, padded: bool, digits: Sequence[Place]) -> float:
    """Sum of likelihoods over the numbers from first to last that are written with as many digits as were read."""
    width = len(digits)
    if padded:
        if len(last) != width:
            return 0.0
        low, high = int(first), int(last)
    else:
        low, high = max(int(first), 10 ** (width - 1)), min(int(last), 10**width - 1)
    if low > high:
        return 0.0
    below = _sum_to(str(low - 1).zfill(width), digits) if low else 0.0
    return _sum_to(str(high).zfill(width), digits) - below


def _sum_to(bound: str, digits: Sequence[Place]) -> float:
    """Sum of likelihoods over all numbers from 0 to the bound, written with leading zeros."""
    free = [1.0]
    for place in reversed(digits):
        free.append(free[-1] * sum(place[:10]))
    total, along = 0.0, 1.0
    for i, (character, place) in enumerate(zip(bound, digits, strict=True)):
        digit = int(character)
        total += along * sum(place[:digit]) * free[len(digits) - 1 - i]
        along *= place[digit]
    return total + along
