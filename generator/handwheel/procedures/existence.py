"""What a machine has, known wholly or in part: parts, fasteners, settings, oiling points, and their values."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TypeVar

from handwheel.machines.conditions import ALWAYS, Any, Condition
from handwheel.machines.reduce import conjunction
from handwheel.machines.space import Space
from handwheel.machines.truth import Truth, truth
from handwheel.procedures.presence import fastener_present, part_present
from handwheel.records.library import Library
from handwheel.records.values import Varies

T = TypeVar("T")


@lru_cache(maxsize=8192)
def present(library: Library, plural: str, identifier: str) -> Condition:
    """The condition on which a part, fastener, setting or oiling point is there.

    A setting is there when something that holds it is; an oiling point when all parts that run on each other
    there are.
    """
    if plural == "parts":
        return part_present(library, identifier)
    if plural == "fasteners":
        return fastener_present(library, identifier)
    if plural == "settings":
        setting = library.settings[identifier]
        own = setting.when.condition if setting.when else ALWAYS
        held = tuple(_holder(library, each) for each in setting.held_by)
        return conjunction((own, Any(held) if held else ALWAYS))
    point = library.oiling_points[identifier]
    own = point.when.condition if point.when else ALWAYS
    return conjunction((own, *(part_present(library, part) for part in point.between)))


def _holder(library: Library, identifier: str) -> Condition:
    is_part = identifier in library.parts
    return part_present(library, identifier) if is_part else fastener_present(library, identifier)


@dataclass(frozen=True)
class Existence:
    """What the machines of a mask have."""

    library: Library
    space: Space
    within: int

    def truth(self, plural: str, identifier: str) -> Truth:
        """Always, never, or depends with the looks that settle it."""
        return truth(self.space, present(self.library, plural, identifier), self.within)

    def mask(self, plural: str, identifier: str) -> int:
        """The machines that have it."""
        return self.space.mask(present(self.library, plural, identifier)) & self.within

    def always(self, plural: str, identifier: str) -> bool:
        """Whether all of the machines have it."""
        return self.mask(plural, identifier) == self.within

    def never(self, plural: str, identifier: str) -> bool:
        """Whether none has it."""
        return not self.mask(plural, identifier)

    def sometimes(self, plural: str, identifier: str) -> bool:
        """Whether some have it and some do not."""
        return not self.always(plural, identifier) and not self.never(plural, identifier)

    def values(self, value: Varies[T] | None) -> tuple[T, ...]:
        """The values that hold on some of the machines."""
        if value is None:
            return ()
        return tuple(case.value for case in value.cases if self.space.mask(case.condition) & self.within)
