"""The family as numbers: all that the engine here and the script in the browser calculate with.

A *trait* is a feature, or a marking seen or not. A *carrier* is the part that carries traits; its
*pattern* on a variant says, trait by trait, which distribution over the forms it left the works with.
Carriers that `cannot_stand` ties together form a *group*; most groups hold one carrier. The *cell* of a
variant in a group is what that group knows of it: variants in one cell cannot be told apart by it.
"""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.identify.facts import Subject
from handwheel.identify.rates import Rates
from handwheel.machines.questions import MISSING, Effort


@dataclass(frozen=True)
class Trait:
    """A feature, or a marking, with the distributions over its forms that occur."""

    id: str
    answers: tuple[str, ...]
    """The forms, then `missing` where the part can be lost."""
    forms: int
    """Number of answers that are forms."""
    rows: tuple[tuple[float, ...], ...]
    effort: Effort
    is_marking: bool = False


@dataclass(frozen=True)
class Mix:
    """Chances that a part is original, from a donor, a declared outsider, a stranger, missing, or kin: the casting
    of a variant that the library lacks, like a known one's but for some features."""

    original: float
    donor: float
    outsider: float
    stranger: float
    missing: float
    kin: float = 0.0


@dataclass(frozen=True)
class Carrier:
    """A part that carries traits."""

    id: str
    traits: tuple[int, ...]
    never_swapped: bool
    can_be_lost: bool
    patterns: tuple[tuple[int, ...], ...]
    """Distinct patterns: a row number for each trait."""
    counts: tuple[int, ...]
    """Number of variants with each pattern."""
    of_variant: tuple[int, ...]
    outsiders: tuple[tuple[int, ...], ...]
    outsider_ids: tuple[str, ...]
    mixes: tuple[Mix, ...]
    """By history."""
    kin: tuple[tuple[int, ...], ...] = ()
    """By pattern: the same, changed here and there; only of parts that are never swapped."""


@dataclass(frozen=True)
class Group:
    """Carriers that are judged together; `allowed` is empty for a carrier on its own."""

    carriers: tuple[int, ...]
    reads: tuple[tuple[int, ...], ...]
    """By carrier: places among its traits that `cannot_stand` reads."""
    allowed: tuple[tuple[tuple[int, ...], ...], ...]
    """By class of variants: allowed combinations, a number for each carrier's reads taken together."""
    cells: tuple[tuple[int, ...], ...]
    """By cell: the pattern of each carrier, then the class of variants."""
    of_variant: tuple[int, ...]
    scale: tuple[tuple[float, ...], ...]
    """By history and cell: what the combinations that cannot stand take away (1 where nothing)."""


@dataclass(frozen=True)
class Instrument:
    """A reading that goes with the variant itself: the serial, or a mass; only for choosing the next look.

    The answer falls in one of several bins. Given a variant, bins have the shares of `background` times
    `wild`, and the `extra` ones on top; the last entry of each is for 'fits none'.
    """

    id: str
    effort: Effort
    background: tuple[float, ...]
    wild: tuple[float, ...]
    extra: tuple[tuple[tuple[int, float], ...], ...]
    entropies: tuple[float, ...]
    """In nats."""


@dataclass(frozen=True)
class Tables:
    """Everything by number. Rows of the posterior are (history, variant)."""

    subject: Subject
    rates: Rates
    variants: tuple[str, ...]
    priors: tuple[float, ...]
    histories: tuple[float, ...]
    """Prior of each history; they add up to one."""
    fits_none: tuple[bool, ...]
    """Histories that belong to 'fits none'."""
    traits: tuple[Trait, ...]
    carriers: tuple[Carrier, ...]
    groups: tuple[Group, ...]
    group_of: tuple[int, ...]
    """By trait."""
    instruments: tuple[Instrument, ...]
    universe: float
    """Serials that could be met, for those in no recorded block."""

    def trait(self, feature: str) -> int:
        """Number of a trait by its id."""
        return next(i for i, trait in enumerate(self.traits) if trait.id == feature)


def marking_trait(marking: str) -> str:
    """Id of the trait that stands for a marking."""
    return f"marking:{marking}"


__all__ = ["MISSING", "Carrier", "Group", "Instrument", "Mix", "Tables", "Trait", "marking_trait"]
