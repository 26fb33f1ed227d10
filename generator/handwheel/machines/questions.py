"""What can be asked of a machine, and the family that the answers belong to.

A *feature* is answered by looking; its answers are *forms*. Features travel with
the part that carries them, so parts are swapped, never single features.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from handwheel.machines.conditions import Condition

Swapped = Literal["often", "seldom", "never"]
Effort = Literal["glance", "tool", "strip"]

MISSING = "missing"
"""Pseudo-form of every feature of a part that was lost; never a form that an author may name."""


@dataclass(frozen=True)
class Feature:
    """Something to look at, with the forms it takes."""

    id: str
    forms: tuple[str, ...]
    carried_by: str = ""
    """Part that carries the feature; features of one part change hands together. Empty: the feature itself."""
    swapped: Swapped = "never"
    missing: bool = False
    """Whether the part that carries it can be lost."""
    effort: Effort = "glance"
    derived: tuple[tuple[str, Condition | None], ...] = ()
    """For a derived feature: the first form whose condition holds; the last one may have none."""
    changes_by_work: bool = False

    @property
    def carrier(self) -> str:
        """The part that carries the feature, or the feature's own id."""
        return self.carried_by or self.id


@dataclass(frozen=True)
class Variant:
    """One pattern of a family as it left the works."""

    id: str
    features: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Original forms by feature, several if the works fitted several; a feature not named is unknown."""


@dataclass(frozen=True)
class Outsider:
    """A part from outside the family that is known to be fitted, with the forms it brings."""

    id: str
    part: str
    forms: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Family:
    """Machines built on one design: its variants in order, and all that can be asked of them."""

    id: str
    variants: tuple[Variant, ...]
    features: tuple[Feature, ...]
    outsiders: tuple[Outsider, ...] = ()
    cannot_stand: tuple[Condition, ...] = ()
    """Combinations that no machine shows."""
    elsewhere: frozenset[str] = frozenset()
    """Variants of other families: conditions may name them, and no machine here is one."""
