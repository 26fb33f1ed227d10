"""Every authored step that takes parts off, with all that must hold for it and the steps before it that it needs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from handwheel.machines.conditions import Condition
from handwheel.procedures.expand import expand
from handwheel.procedures.mirror import mirror_act
from handwheel.procedures.program import Act, Fork, Guarded, Items
from handwheel.procedures.simulate.anatomy import Anatomy, anatomy_of
from handwheel.records.library import Library

Conditions = tuple[Condition, ...]


@dataclass(frozen=True, eq=False)
class Led:
    """A step with all that must hold for it, the condition of its procedure first."""

    act: Act
    conditions: Conditions


@dataclass(frozen=True, eq=False)
class Removal(Led):
    """A step that takes parts off."""

    number: int
    """Its place among all of them: strip procedures first, then as written."""
    before: tuple[Led, ...]
    """Steps before it that undo what holds the same parts, or mark what undoing them loses."""


@lru_cache(maxsize=8)
def removals(library: Library) -> Mapping[str, tuple[Removal, ...]]:
    """Part -> the steps that take it off, in order."""
    found: dict[str, list[Removal]] = {}
    number = 0
    for procedure in sorted(library.procedures.values(), key=lambda each: each.area != "strip"):
        if procedure.shared:
            continue
        program = expand(library, procedure.id)
        steps = tuple(_led(program.items, (program.condition,)))
        for place, led in enumerate(steps):
            if led.act.mirrored or not led.act.step.removes:
                continue
            before = tuple(each for each in steps[:place] if _prepares(anatomy_of(library), each.act, led.act))
            removal = Removal(led.act, led.conditions, number, before)
            number += 1
            for part in dict.fromkeys(led.act.step.removes):
                found.setdefault(part, []).append(removal)
    return {part: tuple(each) for part, each in found.items()}


def _led(items: Items, conditions: Conditions) -> Iterator[Led]:
    """Steps that a machine may get by looking alone: none of repeats and of what must be reached itself."""
    for item in items:
        match item:
            case Act():
                yield Led(item, (*conditions, item.condition))
            case Guarded(when=when, items=held):
                yield from _led(held, (*conditions, when.condition))
            case Fork(arms=arms):
                for arm in arms:
                    yield from _led(arm.items, (*conditions, arm.when.condition))


def _prepares(anatomy: Anatomy, earlier: Act, act: Act) -> bool:
    if earlier.step.removes:
        return False
    held = {each for part in act.step.removes for each in anatomy.holders.get(part, ())}
    if held & {*earlier.step.undoes, *earlier.step.loosens}:
        return True
    lost = {each for name in (*held, *act.step.removes) for each in anatomy.held_settings.get(name, ())}
    return bool(lost & set(earlier.step.marks))


@dataclass(frozen=True)
class Reach:
    """All that reaching some parts may look at or do, on whatever machine."""

    parts: tuple[str, ...]
    removals: tuple[Removal, ...]

    @property
    def led(self) -> tuple[Led, ...]:
        """Every step that may be done, refit included."""
        once = {id(each): each for removal in self.removals for each in (*removal.before, removal)}
        back = ((mirror_act(each.act), each) for each in once.values())
        return (*once.values(), *(Led(act, each.conditions) for act, each in back if act))


@lru_cache(maxsize=4096)
def reach_of(library: Library, parts: tuple[str, ...]) -> Reach:
    """What may have to come off for some parts, those parts among it."""
    anatomy, known = anatomy_of(library), removals(library)
    seen: dict[str, None] = {}
    steps: dict[int, Removal] = {}
    waiting = list(parts)
    while waiting:
        part = waiting.pop(0)
        if part in seen:
            continue
        seen[part] = None
        for removal in known.get(part, ()):
            steps[removal.number] = removal
            waiting += removal.act.step.removes
            for each in (*removal.before, removal):
                waiting += _in_front_of_screws(anatomy, (*each.act.step.undoes, *each.act.step.loosens))
        for blocker in anatomy.part_blockers.get(part, ()):
            waiting += blocker.hung
        waiting += _in_front_of_screws(anatomy, anatomy.holders.get(part, ()))
    return Reach(tuple(seen), tuple(steps[number] for number in sorted(steps)))


def _in_front_of_screws(anatomy: Anatomy, fasteners: Iterable[str]) -> Iterator[str]:
    for fastener in fasteners:
        for blocker in anatomy.fastener_blockers.get(fastener, ()):
            yield from blocker.hung
