"""Whether of several conditions exactly one holds on every machine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from handwheel.machines.conditions import Condition
from handwheel.machines.space import Space


@dataclass(frozen=True)
class Overlap:
    """Two conditions, by position, and the machines on which both hold."""

    first: int
    second: int
    machines: int


@dataclass(frozen=True)
class Split:
    """How conditions divide machines; `none` and `several` empty: exactly one holds on each."""

    none: int
    several: int
    overlaps: tuple[Overlap, ...]

    @property
    def exact(self) -> bool:
        """Exactly one condition holds on every machine."""
        return not self.none and not self.several


def split(space: Space, conditions: Sequence[Condition], within: int | None = None) -> Split:
    """Judge alternatives on the machines given (none given: on all)."""
    here = space.all if within is None else within & space.all
    masks = [space.mask(condition) & here for condition in conditions]
    once = several = 0
    for mask in masks:
        several |= once & mask
        once |= mask
    pairs = combinations(range(len(masks)), 2) if several else ()
    overlaps = (Overlap(i, j, masks[i] & masks[j]) for i, j in pairs)
    return Split(here & ~once, several, tuple(overlap for overlap in overlaps if overlap.machines))
