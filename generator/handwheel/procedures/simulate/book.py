"""Keeps what a run tells: violations, causes, what is derived, the state beside each step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from handwheel.procedures.program import Act, Reached
from handwheel.procedures.simulate.trace import (
    NOTHING,
    ActRef,
    Answers,
    Cause,
    Derived,
    Done,
    Needed,
    Planned,
    State,
    Subject,
    Trace,
    Violation,
)
from handwheel.procedures.simulate.world import Fact, Trail, World
from handwheel.records.places import Place

ActKey = tuple[str, str]
"""Id and anchor of a step."""


class Spot(NamedTuple):
    """Where in the run something is told."""

    position: int
    procedure: str
    place: Place
    act: ActRef | None = None


@dataclass
class _Told:
    machines: int = 0
    trail: Trail | None = None
    causes: dict[tuple[object, ...], Cause] = field(default_factory=dict)


class _Entry(NamedTuple):
    machines: int
    act: ActRef | None
    through: Subject
    trail: Trail


@dataclass
class _Doing:
    act: Act
    machines: int = 0
    derived: dict[tuple[str, Subject, Subject, str], int] = field(default_factory=dict)
    before: list[World] = field(default_factory=list)
    after: list[World] = field(default_factory=list)


class Book:
    """Everything that is told in one run."""

    def __init__(self) -> None:
        self._told: dict[tuple[str, Spot, Subject, Subject], _Told] = {}
        self._log: dict[tuple[Fact, bool], list[_Entry]] = {}
        self._doing: dict[ActRef, _Doing] = {}
        self._needed: dict[tuple[Fact, bool], tuple[int, Spot]] = {}
        self.ends: dict[str, int] = {}
        self._planned: dict[tuple[int, str, tuple[ActKey, ...]], Planned] = {}

    # ------------------------------------------------------------------------------------ telling

    def tell(
        self,
        code: str,
        spot: Spot,
        subject: Subject,
        machines: int,
        world: World,
        about: Subject = NOTHING,
        because: Iterable[tuple[Fact, bool]] = (),
    ) -> None:
        """Something that must not happen; `because` names the facts whose history explains it."""
        if not machines:
            return
        told = self._told.setdefault((code, spot, subject, about), _Told())
        told.machines |= machines
        told.trail = world.trail if told.trail is None else _shared(told.trail, world.trail)
        for fact, holds in because:
            for cause in self.causes(fact, holds, machines, world.trail):
                known = (cause.fact, cause.holds, cause.act, cause.through)
                before = told.causes.get(known)
                told.causes[known] = cause if before is None else _wider(before, cause.machines)

    def note(self, fact: Fact, holds: bool, machines: int, act: ActRef | None, through: Subject, trail: Trail) -> None:
        """A fact that began or ended, and through what."""
        if machines:
            self._log.setdefault((fact, holds), []).append(_Entry(machines, act, through, trail))

    def causes(self, fact: Fact, holds: bool, machines: int, trail: Trail) -> Iterator[Cause]:
        """What last brought the fact about on each of the machines, as far as answers agree."""
        left = machines
        for entry in reversed(self._log.get((fact, holds), ())):
            here = entry.machines & left
            if here and _agree(entry.trail, trail):
                left &= ~here
                yield Cause(fact, holds, here, entry.act, entry.through)
            if not left:
                return

    def need(self, fact: Fact, holds: bool, machines: int, spot: Spot) -> None:
        """Something taken for granted where a procedure is run alone."""
        before, first = self._needed.get((fact, holds), (0, spot))
        self._needed[fact, holds] = (before | machines, first)

    def derive(
        self, act: ActRef, kind: str, subject: Subject, machines: int, through: Subject = NOTHING, detail: str = ""
    ) -> None:
        """Something that a step does besides what is written."""
        if machines:
            derived = self._doing[act].derived
            known = (kind, subject, through, detail)
            derived[known] = derived.get(known, 0) | machines

    def begin(self, ref: ActRef, act: Act, world: World) -> None:
        """A step is done on the world's machines."""
        doing = self._doing.setdefault(ref, _Doing(act))
        doing.machines |= world.machines
        doing.before.append(world)

    def finish(self, ref: ActRef, worlds: Iterable[World]) -> None:
        """What became of them."""
        self._doing[ref].after.extend(worlds)

    def plan(
        self, position: int, item: Reached, first: tuple[Act, ...], back: tuple[Act, ...], proven: bool, machines: int
    ) -> None:
        """How parts are reached on some machines."""
        key = (position, item.anchor, tuple((act.id, act.anchor) for act in first))
        known = self._planned.get(key)
        before = known.machines if known else 0
        self._planned[key] = Planned(position, item.anchor, item.parts, first, back, proven, before | machines)

    # -------------------------------------------------------------------------------------- the end

    def violations(self) -> tuple[Violation, ...]:
        """Everything that must not happen, in the order first met."""
        return tuple(
            Violation(
                code=code,
                act=spot.act,
                position=spot.position,
                procedure=spot.procedure,
                place=spot.place,
                subject=subject,
                about=about,
                machines=told.machines,
                answers=_answers(told.trail or {}),
                causes=tuple(told.causes.values()),
            )
            for (code, spot, subject, about), told in self._told.items()
        )

    def trace(self) -> Trace:
        """All of it as values."""
        return Trace(
            violations=self.violations(),
            done=tuple(_done(ref, doing) for ref, doing in self._doing.items()),
            needed=tuple(
                Needed(fact, holds, machines, spot.act, spot.place)
                for (fact, holds), (machines, spot) in self._needed.items()
            ),
            ends=dict(self.ends),
            planned=tuple(self._planned.values()),
        )


def _done(ref: ActRef, doing: _Doing) -> Done:
    derived = tuple(
        Derived(kind, subject, through, detail, mask)
        for (kind, subject, through, detail), mask in doing.derived.items()
    )
    return Done(ref, doing.act, doing.machines, derived, State(tuple(doing.before)), State(tuple(doing.after)))


def _wider(cause: Cause, machines: int) -> Cause:
    return Cause(cause.fact, cause.holds, cause.machines | machines, cause.act, cause.through)


def _shared(one: Trail, other: Trail) -> Trail:
    return one if one is other else {q: one[q] | other[q] for q in one.keys() & other.keys()}


def _agree(one: Trail, other: Trail) -> bool:
    if one is other:
        return True
    return all(one[question] & other[question] for question in one.keys() & other.keys())


def _answers(trail: Trail) -> Answers:
    return tuple((question, tuple(sorted(states))) for question, states in sorted(trail.items()))
