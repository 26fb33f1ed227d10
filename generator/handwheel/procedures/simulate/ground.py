"""The machines of one family, what each has, and what conditions are worth, with answers put in."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import Any, TypeVar

from handwheel.machines.conditions import Condition, Is, questions_of
from handwheel.machines.family import FamilyIndex
from handwheel.machines.masks import union
from handwheel.machines.questions import MISSING
from handwheel.machines.space import Space
from handwheel.procedures.existence import present
from handwheel.procedures.judge import ACCEPTED, DECLINED
from handwheel.procedures.simulate.anatomy import Anatomy
from handwheel.procedures.simulate.world import World
from handwheel.records.library import Library
from handwheel.records.values import Varies, When

T = TypeVar("T")
M = TypeVar("M")

Changed = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Clause:
    """A condition made ready: read for this family, with what it asks."""

    condition: Condition
    asked: tuple[str, ...]
    """Questions that a step asks."""
    changing: tuple[str, ...]
    """Features among those it reads that work may change."""


@dataclass(frozen=True)
class Case:
    """One way of answering, and the machines on which the condition then holds."""

    answers: tuple[str, ...]
    holds: int


class Ground:
    """A space of machines with all that is looked up again and again; nothing in it changes but what it remembers."""

    def __init__(self, anatomy: Anatomy, space: Space) -> None:
        self.anatomy = anatomy
        self.library: Library = anatomy.library
        self.space = space
        self.states = asked_states(self.library, space.index)
        self.good = good_states(self.library)
        self.order = {question: place for place, question in enumerate(self.states)}
        self._remembered: dict[Any, Any] = {}
        self._changeable = frozenset(each.id for each in self.library.features.values() if each.changes_by_work)
        self._clauses: dict[Condition, Clause] = {}
        self._masks: dict[tuple[Condition, Changed], int] = {}
        self._there: dict[tuple[str, str, Changed], int] = {}
        self._depends: dict[tuple[Condition, str, tuple[str, ...], Changed], int] = {}
        self._cases: dict[tuple[Condition, tuple[str, ...], Changed], tuple[Case, ...]] = {}
        self._missing = {
            part: tuple(f.id for f in self.library.features.values() if f.carried_by == part and f.missing)
            for part in self.library.parts
        }

    def remembered(self, made: Callable[[Ground], M]) -> M:
        """Something made of this ground once, and kept with it."""
        if made not in self._remembered:
            self._remembered[made] = made(self)
        found: M = self._remembered[made]
        return found

    # ------------------------------------------------------------------------------- conditions

    def clause(self, condition: Condition) -> Clause:
        """The condition made ready."""
        found = self._clauses.get(condition)
        if found is None:
            found = self._clauses[condition] = self._ready(condition)
        return found

    def mask(self, condition: Condition, world: World) -> int:
        """The world's machines on which a condition without open questions holds."""
        return self._mask(condition, self._known(self.clause(condition), world)) & world.machines

    def open(self, condition: Condition, world: World) -> tuple[str, ...]:
        """Questions of the condition that have no answer in this world."""
        return tuple(q for q in self.clause(condition).asked if q not in world.answers)

    def cases(self, condition: Condition, world: World) -> tuple[Case, ...]:
        """The condition for each way of answering its open questions; masks go beyond the world."""
        clause = self.clause(condition)
        open_, known = self.open(condition, world), self._known(clause, world)
        found = self._cases.get((condition, open_, known))
        if found is None:
            found = tuple(
                Case(answers, self._mask(condition, (*known, *zip(open_, answers, strict=True))))
                for answers in product(*(self.states[q] for q in open_))
            )
            self._cases[condition, open_, known] = found
        return found

    def depends(self, condition: Condition, question: str, world: World, free: tuple[str, ...]) -> int:
        """The world's machines on which the answer to one of the free questions can make a difference."""
        loose = World(world.machines, {q: s for q, s in world.answers.items() if q not in free})
        open_ = self.open(condition, loose)
        key = (condition, question, open_, self._known(self.clause(condition), loose))
        found = self._depends.get(key)
        if found is None:
            found = self._depends[key] = _difference(self.cases(condition, loose), open_.index(question))
        return found & world.machines

    def when(self, when: When | None, world: World) -> int:
        """The world's machines on which an optional condition of a record holds."""
        return world.machines if when is None else self.mask(when.condition, world)

    def value_masks(self, varies: Varies[T] | None, world: World) -> Iterator[tuple[T, int]]:
        """Each value with the world's machines that have it."""
        for case in varies.cases if varies else ():
            mask = self.mask(case.condition, world)
            if mask:
                yield case.value, mask

    # ------------------------------------------------------------------------------ what there is

    def part(self, part: str, world: World) -> int:
        """The world's machines that have the part."""
        return self._has("parts", part, world)

    def fastener(self, fastener: str, world: World) -> int:
        """The world's machines that have the fastener: all that it holds is there."""
        return self._has("fasteners", fastener, world)

    def setting(self, setting: str, world: World) -> int:
        """The world's machines that have the setting: something that holds it is there."""
        return self._has("settings", setting, world)

    def point(self, point: str, world: World) -> int:
        """The world's machines that have the oiling point."""
        return self._has("oiling_points", point, world)

    def _has(self, kind: str, subject: str, world: World) -> int:
        known = (kind, subject, world.changed)
        found = self._there.get(known)
        if found is None:
            everywhere = World(self.space.all, dict(world.changed), changed=world.changed)
            found = self._there[known] = self._present(kind, subject, everywhere)
        return found & world.machines

    def _present(self, kind: str, subject: str, world: World) -> int:
        if kind == "parts":
            return self._part(subject, world)
        if kind == "fasteners":
            record = self.library.fasteners[subject]
            return self._all(record.holds, self.when(record.when, world), world)
        if kind == "settings":
            setting = self.library.settings[subject]
            held = [
                self.fastener(each, world) if each in self.library.fasteners else self.part(each, world)
                for each in setting.held_by
            ]
            return self.when(setting.when, world) & (union(held) if held else world.machines)
        point = self.library.oiling_points[subject]
        return self._all(point.between, self.when(point.when, world), world)

    def _part(self, part: str, world: World) -> int:
        here = self.mask(present(self.library, "parts", part), world)
        for each in (part, *self.anatomy.carriers.get(part, ())):
            for feature in self._missing.get(each, ()):
                here &= ~self.mask(Is(feature, frozenset((MISSING,))), world)
        return here

    def _all(self, parts: Iterable[str], here: int, world: World) -> int:
        for part in parts:
            here &= self.part(part, world)
        return here

    # -------------------------------------------------------------------------------- making ready

    def _ready(self, condition: Condition) -> Clause:
        questions = questions_of(condition)
        asked = tuple(sorted(q for q in questions if q in self.states))
        bases = frozenset[str]().union(*(self.space.index.base(q) for q in questions if q not in self.states))
        return Clause(condition, asked, tuple(sorted(bases & self._changeable)))

    def _known(self, clause: Clause, world: World) -> Changed:
        if not clause.asked and not clause.changing:
            return ()
        return tuple((q, world.answers[q]) for q in (*clause.changing, *clause.asked) if q in world.answers)

    def _mask(self, condition: Condition, known: Changed) -> int:
        found = self._masks.get((condition, known))
        if found is None:
            here = self.clause(condition).condition
            plain = self.space.partial(here, dict(known)) if known else here
            found = self._masks[condition, known] = self.space.mask(plain)
        return found


def _difference(cases: Iterable[Case], place: int) -> int:
    """Machines on which the answer at a place can make a difference, whatever the others are."""
    by_others: dict[tuple[str, ...], list[int]] = {}
    for case in cases:
        others = (*case.answers[:place], *case.answers[place + 1 :])
        by_others.setdefault(others, []).append(case.holds)
    found = 0
    for masks in by_others.values():
        every = masks[0]
        for each in masks[1:]:
            every &= each
        found |= union(masks) & ~every
    return found


def asked_states(library: Library, index: FamilyIndex) -> dict[str, tuple[str, ...]]:
    """Question asked at a step -> its states."""
    found: dict[str, tuple[str, ...]] = {each.id: tuple(each.states) for each in library.findings.values()}
    found |= {each.id: (ACCEPTED, DECLINED) for each in library.choices.values()}
    found |= {each.id: each.states for each in library.readings.values()}
    return {question: states for question, states in found.items() if question not in index.features}


def good_states(library: Library) -> dict[str, tuple[str, ...]]:
    """Finding or reading -> states that need nothing done."""
    found: Mapping[str, tuple[str, ...]] = {each.id: each.good for each in library.findings.values()}
    return {**found, **{each.id: each.good for each in library.readings.values()}}
