"""What happens on each machine, by the simulator that takes one machine at a time and knows no rule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Any

from naive.one_by_one import Walk, Where
from naive.one_machine import OneMachine
from naive.one_state import OneState

from handwheel.machines.space import Space
from handwheel.procedures.program import Act
from handwheel.records.families import family_of
from handwheel.records.library import Library
from handwheel.records.step_records import EFFECTS

BOOKKEEPING = {"read", "acted", "known_stale", "may_be_seized", "tested", "wet"}
"""What the simulator notes for itself, and what is known by what was done."""


@dataclass(frozen=True)
class Traced:
    """What happens in one job on one machine."""

    done: frozenset[tuple[str, str]]
    """Each effect and what it was done to, on some way through the job."""
    ends: frozenset[Any]
    """How the machine may stand at the end, and how it ends."""
    wrong: frozenset[tuple[str, str, tuple[str, str], tuple[str, str]]]
    """Code, step, what it is about, what else."""


class Tracing(Walk):
    """Notes all that is done, and how it ends."""

    def __init__(self, library: Library, job: str, machine: OneMachine) -> None:
        super().__init__(library, job, machine)
        self.done: set[tuple[str, str]] = set()
        self.ends: set[Any] = set()

    def do(self, item: Act, state: OneState, where: Where) -> list[OneState]:
        self.done |= set(_effects(item))
        return super().do(item, state, where)

    def demands(self, state: OneState, where: Where, may_be: tuple[str, ...], handed_over: bool) -> None:
        kept = {each.name: getattr(state, each.name) for each in fields(state) if each.name not in BOOKKEEPING}
        self.ends.add((repr(sorted((name, _plain(value)) for name, value in kept.items())), may_be, handed_over))
        super().demands(state, where, may_be, handed_over)


def traced(library: Library, job: str, variant: str, forms: dict[str, str]) -> Traced:
    """What happens in a job on a machine."""
    walk = Tracing(library, job, OneMachine(library, variant, forms))
    wrong = frozenset((code, where[2], subject, about) for code, where, subject, about in walk.walk())
    return Traced(frozenset(walk.done), frozenset(walk.ends), wrong)


def machines_of(library: Library) -> Iterator[tuple[str, dict[str, str]]]:
    """Every machine that can stand here: its variant and its forms."""
    for family in library.families:
        space = Space(family_of(library, family))
        yield from ((each.variant, dict(each.forms)) for each in space.machines(space.all))


def _effects(item: Act) -> Iterator[tuple[str, str]]:
    step = item.step
    for effect in EFFECTS:
        value = getattr(step, effect)
        if not value:
            continue
        if effect == "wait":
            value = (value.of, value.duration.text)
        named = {"cleans": step.how, "lifts": str(step.people), "fits": step.leaves}.get(effect, "")
        for each in value.items() if isinstance(value, dict) else value if isinstance(value, tuple) else (value,):
            yield f"{effect} {named}".strip(), str(each)


def _plain(value: Any) -> Any:
    return sorted(value.items()) if isinstance(value, dict) else sorted(value) if isinstance(value, set) else value
