"""What the shop knows of each variant beyond its forms: serials, markings, masses, years, how common it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from handwheel.machines.questions import Family


@dataclass(frozen=True)
class Years:
    """First and last year, both included."""

    first: int
    last: int


@dataclass(frozen=True)
class Block:
    """Serial numbers given out together, as text: `first` and `last` of equal length are padded with zeros."""

    prefix: str
    first: str
    last: str
    suffix: str = ""
    gaps: tuple[tuple[str, str], ...] = ()
    """Numbers inside that were never used, first and last of each gap."""
    years: Years | None = None


@dataclass(frozen=True)
class Marking:
    """A name, number, plate or transfer that can be read, and what it tells.

    `variants` gives the share of machines of each variant that left the works with it; a variant not
    named never bore it; an empty map: it tells nothing about the variant. `forms` are forms of other
    features that it vouches for.
    """

    id: str
    carried_by: str = ""
    """Part that bears it and takes it along when it changes hands; empty: the casting itself."""
    variants: Mapping[str, float] = field(default_factory=dict)
    forms: Mapping[str, frozenset[str]] = field(default_factory=dict)
    not_before: int | None = None
    """A date on it: that part, and no more, is not older."""


@dataclass(frozen=True)
class Measure:
    """Mean of a quantity over machines of a variant, and its standard deviation from one to the next."""

    value: float
    spread: float


@dataclass(frozen=True)
class VariantFacts:
    """What is known of one variant; everything may be unknown."""

    blocks: tuple[Block, ...] = ()
    years: Years | None = None
    measures: Mapping[str, Measure] = field(default_factory=dict)
    weight: float = 1.0
    """How common it is beside the others."""


@dataclass(frozen=True)
class Subject:
    """A family with all that helps to tell its variants apart."""

    family: Family
    facts: Mapping[str, VariantFacts] = field(default_factory=dict)
    markings: tuple[Marking, ...] = ()

    def of(self, variant: str) -> VariantFacts:
        """Facts of a variant; nothing known where none were written."""
        return self.facts.get(variant, VariantFacts())
