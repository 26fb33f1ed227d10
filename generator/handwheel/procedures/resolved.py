"""A procedure for one machine, known wholly or in part: values that pages and terminals print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from handwheel.machines.conditions import Condition
from handwheel.procedures.judge import Settled, Verdict
from handwheel.procedures.program import Act
from handwheel.procedures.prose import Pieces

Prose = Settled[Pieces]


@dataclass(frozen=True)
class Reason:
    """Why a step is here, where not every machine has it."""

    condition: Condition
    """The condition on features that admits it."""
    words: str
    variants: tuple[tuple[str, bool], ...]
    """Variants that have it as built; true: all machines of the variant, false: some."""


@dataclass(frozen=True)
class ResolvedStep:
    """A step, with the texts that hold."""

    act: Act
    verdict: Verdict
    reason: Reason | None
    do: Prose
    why: Prose | None = None
    ok: Prose | None = None
    trap: Prose | None = None
    otherwise: Prose | None = None
    back: Prose | None = None

    @property
    def id(self) -> str:
        """`procedure/step` where it is written."""
        return self.act.id

    @property
    def anchor(self) -> str:
        """Its id on the procedure's page."""
        return self.act.anchor


@dataclass(frozen=True)
class Group:
    """Items under a condition that is not settled: a look to take, or the answer at an earlier step."""

    verdict: Verdict
    condition: Condition
    words: str
    """The condition in words."""
    items: tuple[ResolvedItem, ...]
    states: tuple[str, ...] = ()
    """States of the fork's question, where it is an arm of one."""


@dataclass(frozen=True)
class Alternatives:
    """Groups of which exactly one holds; an empty one has nothing to be done."""

    question: str
    kind: str
    """`features`, `findings`, `choices` or `readings`; empty where the conditions are free."""
    arms: tuple[Group, ...]


@dataclass(frozen=True)
class Repeated:
    """Items done at least once and again until the words are true, at most so often; then the others."""

    until: str
    at_most: int
    items: tuple[ResolvedItem, ...]
    otherwise: tuple[ResolvedItem, ...]


@dataclass(frozen=True)
class Reaching:
    """Items on parts that must be reached first, and closed up afterwards."""

    parts: tuple[str, ...]
    items: tuple[ResolvedItem, ...]


ResolvedItem = ResolvedStep | Group | Alternatives | Repeated | Reaching


@dataclass(frozen=True)
class Resolved:
    """One procedure for one machine."""

    procedure: str
    title: str
    family: str
    verdict: Verdict
    """Whether the machine has the procedure at all."""
    items: tuple[ResolvedItem, ...]

    @property
    def steps(self) -> tuple[ResolvedStep, ...]:
        """Every step that may have to be done, in order."""
        return tuple(steps_of(self.items))


def lists_of(item: ResolvedItem) -> tuple[tuple[ResolvedItem, ...], ...]:
    """The lists of items that an item holds."""
    match item:
        case ResolvedStep():
            return ()
        case Group(items=items) | Reaching(items=items):
            return (items,)
        case Alternatives(arms=arms):
            return tuple(arm.items for arm in arms)
        case Repeated(items=items, otherwise=otherwise):
            return items, otherwise


def steps_of(items: tuple[ResolvedItem, ...]) -> Iterator[ResolvedStep]:
    """Every step among the items."""
    for item in items:
        if isinstance(item, ResolvedStep):
            yield item
        for held in lists_of(item):
            yield from steps_of(held)
