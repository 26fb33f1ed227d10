"""Values inside records: texts, conditions, quantities, citations, all with their place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.records.places import Place

T = TypeVar("T")


@dataclass(frozen=True)
class Text:
    """Prose as written, with its marks."""

    raw: str
    place: Place

    def __str__(self) -> str:
        return self.raw


@dataclass(frozen=True)
class Number:
    """A number and the text that it was written with (2.10 stays 2.10)."""

    text: str
    value: float


@dataclass(frozen=True)
class Amount:
    """A quantity as written, and its value in SI units; `value` is None where a word stands."""

    text: str
    value: float | None
    dimension: str
    place: Place


@dataclass(frozen=True)
class Minutes:
    """Least, likely and most minutes."""

    low: float
    likely: float
    high: float


@dataclass(frozen=True)
class When:
    """A condition and where it stands."""

    condition: Condition
    place: Place


@dataclass(frozen=True)
class Citation:
    """A source and the place in it."""

    source: str
    at: str
    place: Place


@dataclass(frozen=True)
class Case(Generic[T]):
    """One alternative of a value that depends on the machine."""

    condition: Condition
    value: T
    place: Place


@dataclass(frozen=True)
class Varies(Generic[T]):
    """A value for each machine: one case that always holds, or alternatives of which exactly one does."""

    cases: tuple[Case[T], ...]
    place: Place
    by: str = ""
    """The question on which all cases hang, where the value was written that way."""

    @property
    def fixed(self) -> T | None:
        """The value where it is the same for all machines, else None."""
        only = len(self.cases) == 1 and self.cases[0].condition == ALWAYS
        return self.cases[0].value if only else None

    @property
    def values(self) -> tuple[T, ...]:
        """All values that can hold, in the order written."""
        return tuple(case.value for case in self.cases)
