"""Verdicts on conditions, and conditions made ready for one space."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

from handwheel.machines.conditions import Condition, questions_of
from handwheel.machines.space import Space
from handwheel.machines.truth import Always, Never, Truth
from handwheel.records.library import Library

T = TypeVar("T")

Open = Mapping[str, tuple[str, ...]]
"""Question asked at a step -> the answers still possible there. For a feature that work changes, `UNCHANGED` is one."""

UNCHANGED = ""
"""The form of a feature is what it was when the machine came in."""

ACCEPTED, DECLINED = "accepted", "declined"

SETTLED = Always()
OUT = Never()


@dataclass(frozen=True)
class Verdict:
    """What a condition is worth here."""

    truth: Truth
    """As far as looking at the machine goes."""
    asked: Condition | None = None
    """What is only known once a step has asked; None: nothing."""

    @property
    def settled(self) -> bool:
        """Whether it holds, and there is nothing left to look at or ask."""
        return self.asked is None and isinstance(self.truth, Always)

    @property
    def out(self) -> bool:
        """Whether it cannot hold."""
        return isinstance(self.truth, Never)


@dataclass(frozen=True)
class Option(Generic[T]):
    """One value that may hold, with when it does."""

    value: T
    condition: Condition
    verdict: Verdict


@dataclass(frozen=True)
class Settled(Generic[T]):
    """The values that may hold for the machine; one, if all that it hangs on is known."""

    options: tuple[Option[T], ...]

    @property
    def fixed(self) -> T | None:
        """The one value, where nothing is open."""
        only = len(self.options) == 1 and self.options[0].verdict.settled
        return self.options[0].value if only else None


@dataclass(frozen=True)
class Clause:
    """A condition made ready for one space."""

    condition: Condition
    mask: int
    """Machines on which it holds, where looking is all that it takes."""
    asked: tuple[str, ...]
    """Questions that it reads and that a step asks."""
    reads: frozenset[str]
    """Features that it reads, derived ones followed down."""


class Ground:
    """A space with the questions that steps ask; conditions are made ready once."""

    def __init__(self, library: Library, space: Space) -> None:
        self.library = library
        self.space = space
        self._clauses: dict[Condition, Clause] = {}
        self.states = _asked_states(library, frozenset(space.index.features))

    def clause(self, condition: Condition) -> Clause:
        """The condition made ready."""
        found = self._clauses.get(condition)
        if found is None:
            found = self._clauses[condition] = self._ready(condition)
        return found

    def _ready(self, condition: Condition) -> Clause:
        questions = questions_of(condition)
        asked = tuple(sorted(q for q in questions if q in self.states))
        features = (q for q in questions if q not in self.states)
        reads = frozenset[str]().union(*map(self.space.index.base, features))
        return Clause(condition, 0 if asked else self.space.mask(condition), asked, reads)


def _asked_states(library: Library, features: frozenset[str]) -> dict[str, tuple[str, ...]]:
    found = {each.id: tuple(each.states) for each in library.findings.values()}
    found |= {each.id: (ACCEPTED, DECLINED) for each in library.choices.values()}
    found |= {each.id: each.states for each in library.readings.values()}
    return {question: states for question, states in found.items() if question not in features}
