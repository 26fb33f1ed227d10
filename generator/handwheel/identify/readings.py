"""What the serial number and what was measured say against a variant: contradictions of readings, not of looks.

A serial speaks against a variant whose blocks are known and hold no number that reads so; a measurement that is
further from the variant's than `FAR` standard deviations, of heads and reading together, allows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from handwheel.identify.evidence import SERIAL_CHARACTERS, Evidence, SerialRead
from handwheel.identify.facts import Block, Measure, VariantFacts
from handwheel.identify.instruments import SERIAL
from handwheel.identify.serials import fits_block
from handwheel.identify.tables import Tables

FAR = 3.0
"""Standard deviations; beyond three lie fewer than three readings in a thousand (normal distribution)."""
SHOWN = 4
"""Blocks that are named; of a variant with more the rest are counted."""

NAMES = {"serial": "serial number", "mass": "mass of the head"}
UNITS = {"mass": "kg"}
MORE = "{count} more"


@dataclass(frozen=True)
class Against:
    """One reading that a variant does not have."""

    name: str
    """`serial`, or the quantity."""
    seen: str
    own: tuple[str, ...]
    """What the variant has."""


def reading_id(name: str) -> str:
    """Id of a reading where parts stand beside it; no part's id holds a colon."""
    return f"reading:{name}"


def readings_of(evidence: Evidence) -> dict[str, str]:
    """What was read, by name."""
    found = {SERIAL: serial_text(evidence.serial)} if evidence.serial else {}
    return found | {each.quantity: in_unit(each.quantity, each.value) for each in evidence.measured}


def against(tables: Tables, evidence: Evidence, variant: int) -> Iterator[Against]:
    """Readings that speak against a variant, serial first."""
    facts = tables.subject.of(tables.variants[variant])
    read = evidence.serial
    if read is not None and facts.blocks and not any(fits_block(block, read) for block in facts.blocks):
        yield Against(SERIAL, serial_text(read), _shown(facts))
    for each in evidence.measured:
        own = facts.measures.get(each.quantity)
        if own is not None and _is_far(own, each.value, each.error):
            yield Against(each.quantity, in_unit(each.quantity, each.value), (in_unit(each.quantity, own.value),))


def bearers(tables: Tables, evidence: Evidence, name: str) -> int:
    """Variants that a reading does not speak against, as bits."""
    every = range(len(tables.variants))
    return sum(1 << v for v in every if all(each.name != name for each in against(tables, evidence, v)))


def serial_text(read: SerialRead) -> str:
    """A serial as a person writes it: `K1[38]?`."""
    return "".join(map(_place_text, read.places))


def in_unit(quantity: str, value: float) -> str:
    """A value with two decimals at most and its unit; halves upwards, as the script does.

    >>> in_unit("mass", 12.1), in_unit("mass", 13.0), in_unit("girth", 0.125)
    ('12.1 kg', '13 kg', '0.13')
    """
    whole, part = divmod(math.floor(value * 100 + 0.5), 100)
    number = f"{whole}.{part:02d}".rstrip("0").rstrip(".")
    return f"{number} {UNITS[quantity]}" if quantity in UNITS else number


def _place_text(place: frozenset[str]) -> str:
    if len(place) == len(SERIAL_CHARACTERS):
        return "?"
    return next(iter(place)) if len(place) == 1 else f"[{''.join(sorted(place))}]"


def _shown(facts: VariantFacts) -> tuple[str, ...]:
    texts = [_block_text(block) for block in facts.blocks]
    rest = len(texts) - SHOWN
    return (*texts[:SHOWN], *([MORE.format(count=rest)] if rest > 0 else []))


def _block_text(block: Block) -> str:
    return f"{block.prefix}{block.first}{block.suffix} to {block.prefix}{block.last}{block.suffix}"


def _is_far(own: Measure, value: float, error: float) -> bool:
    off = value - own.value
    return off * off > FAR * FAR * (own.spread * own.spread + error * error)
