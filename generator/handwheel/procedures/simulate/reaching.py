"""Parts reached inside a procedure: the least off before, the mirrored refit after, for each class of machines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.masks import lowest
from handwheel.machines.reduce import conjunction
from handwheel.procedures.expand import know_later
from handwheel.procedures.least import Way, least
from handwheel.procedures.mirror import BLANK, mirror_act
from handwheel.procedures.program import Act, Guarded, Items, Program, Reached, acts_of, reached_in
from handwheel.procedures.removals import reach_of
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.world import World
from handwheel.records.kinds import NOWHERE
from handwheel.records.library import Library
from handwheel.records.values import When


@dataclass
class _Sight:
    """One machine of a world, and the machines on which all that was looked at is the same."""

    ground: Ground
    world: World
    machine: int
    alike: int

    def holds(self, condition: Condition) -> bool:
        """Whether a condition holds; one that a step must ask first does not count."""
        return not self.ground.clause(condition).asked and self._see(self.ground.mask(condition, self.world))

    def has(self, plural: str, identifier: str) -> bool:
        """Whether the machine has the part or fastener."""
        look = self.ground.part if plural == "parts" else self.ground.fastener
        return self._see(look(identifier, self.world))

    def is_so(self, kind: str, subject: str) -> bool:
        """Whether a fact is so now."""
        return self._see(self.world.has(kind, subject))

    def _see(self, mask: int) -> bool:
        here = bool(mask & self.machine)
        self.alike &= mask if here else ~mask
        return here


def ways(item: Reached, ground: Ground, world: World) -> Iterator[tuple[int, Way]]:
    """How the parts are reached from here: machines, and the shortest way on them."""
    left = world.machines
    while left:
        machine = 1 << lowest(left)
        sight = _Sight(ground, world, machine, left)
        way = least(ground.library, sight, item.parts, off=False)
        yield sight.alike, way
        left &= ~sight.alike


def first_of(item: Reached, way: Way) -> tuple[Act, ...]:
    """The steps of a way before the item's own, with anchors of this place."""
    return tuple(replace(act, anchor=item.anchor_of(act)) for act in way.acts)


def back_of(item: Reached, way: Way) -> tuple[Act, ...]:
    """The refit after them."""
    back = [each for act in reversed(way.acts) if (each := mirror_act(act)) is not None]
    told = know_later(tuple(replace(act, anchor=item.anchor_of(act)) for act in back), frozenset())[0]
    return tuple(acts_of(told))


@lru_cache(maxsize=4096)
def possible(library: Library, parts: tuple[str, ...]) -> Items:
    """All that may be done or looked at for the sake of reaching the parts, each step under what must hold for it."""
    reach = reach_of(library, parts)
    looked = replace(BLANK, removes=reach.parts)
    steps = (Guarded(When(conjunction(led.conditions), NOWHERE), (led.act,)) for led in reach.led)
    return (Act("", "", looked, looked), *steps)


def programs_of(library: Library, programs: Iterable[Program]) -> tuple[Program, ...]:
    """What reaching parts may do or look at in some programs, as programs of their own."""
    found = dict.fromkeys(item.parts for program in programs for item in reached_in(program.items))
    return tuple(Program("", ALWAYS, possible(library, parts)) for parts in found)
