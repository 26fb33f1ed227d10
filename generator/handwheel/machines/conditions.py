"""Conditions as data: what must hold for a step, a part, a value or a passage.

Ranges of variants, groups, years and serials are turned into these when content is
read, so that this floor knows sets of names only.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Is:
    """The question's answer is one of the states. A missing part answers `missing`, which is no form."""

    question: str
    states: frozenset[str]


@dataclass(frozen=True)
class OfVariant:
    """The machine was built as one of the variants, whatever was fitted since."""

    variants: frozenset[str]


@dataclass(frozen=True)
class All:
    """Every part holds; empty: always."""

    parts: tuple[Condition, ...] = ()


@dataclass(frozen=True)
class Any:
    """At least one part holds; empty: never."""

    parts: tuple[Condition, ...] = ()


@dataclass(frozen=True)
class Not:
    """The part does not hold."""

    part: Condition


Condition = Is | OfVariant | All | Any | Not

ALWAYS = All()
NEVER = Any()


def questions_of(condition: Condition) -> frozenset[str]:
    """Ids of all questions (features, findings, choices, readings) that a condition reads."""
    match condition:
        case Is(question, _):
            return frozenset((question,))
        case OfVariant():
            return frozenset()
        case Not(part):
            return questions_of(part)
        case All(parts) | Any(parts):
            return frozenset().union(*map(questions_of, parts))
