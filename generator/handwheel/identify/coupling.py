"""Combinations that cannot stand, as lists of the combinations that can.

Only features that `cannot_stand` reads are spelled out, so that the lists stay short. They hold more than
the machines of `machines.space`: a part from outside that nobody declared may show any form.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.coupling import joined
from handwheel.machines.family import FamilyIndex
from handwheel.machines.questions import Feature

WIDEST = 20_000
"""Combinations that one tied group may have before its author is asked to split the conditions."""

Numbers = tuple[int, ...]


class TooTied(ValueError):  # noqa: N818 - named after what is wrong
    """Conditions of `cannot_stand` tie too many features together."""


@dataclass(frozen=True)
class Tie:
    """Conditions that share carriers, with the features that they read."""

    conditions: tuple[Condition, ...]
    reads: tuple[str, ...]


def holds(condition: Condition, answers: Mapping[str, str], variant: str) -> bool:
    """Whether a condition holds on a machine known in full."""
    match condition:
        case Is(question, states):
            return answers[question] in states
        case OfVariant(variants):
            return variant in variants
        case Not(part):
            return not holds(part, answers, variant)
        case All(parts):
            return all(holds(part, answers, variant) for part in parts)
        case Any(parts):
            return any(holds(part, answers, variant) for part in parts)


def ties(index: FamilyIndex) -> list[Tie]:
    """Conditions of `cannot_stand`, those that share a carrier joined."""
    carriers = [{index.carrier_of[name] for name in reads} for reads in index.reads_of_clauses]
    return [_tie(index, members) for members in joined(carriers)]


def allowed_by_class(
    index: FamilyIndex, tie: Tie, answers: Sequence[Sequence[str]], number: Callable[[Numbers], Numbers]
) -> tuple[tuple[tuple[Numbers, ...], ...], Numbers]:
    """Allowed combinations for each class of variants, and the class of each variant.

    Args:
        index: Family with the variants.
        tie: Conditions that share carriers.
        answers: Possible answers of each feature that the tie reads, in the order of its reads.
        number: Turns answer numbers (one a feature) into what is stored.
    """
    width = math.prod(map(len, answers))
    if width > WIDEST:
        raise TooTied(f"cannot_stand ties {', '.join(tie.reads)} together: {width} combinations; split it")
    lists: dict[tuple[Numbers, ...], int] = {}
    classes = []
    for variant in index.variants:
        allowed = tuple(map(number, _standing(index, tie, answers, variant)))
        classes.append(lists.setdefault(allowed, len(lists)))
    return tuple(lists), tuple(classes)


def _tie(index: FamilyIndex, members: Numbers) -> Tie:
    reads = frozenset[str]().union(*(index.reads_of_clauses[i] for i in members))
    conditions = tuple(index.family.cannot_stand[i] for i in members)
    return Tie(conditions, tuple(name for name in index.features if name in reads))


def _standing(index: FamilyIndex, tie: Tie, answers: Sequence[Sequence[str]], variant: str) -> list[Numbers]:
    here = [feature for feature in index.derived if index.base(feature.id) <= set(tie.reads)]
    combos = []
    for combo in itertools.product(*(range(len(names)) for names in answers)):
        full = {name: answers[i][combo[i]] for i, name in enumerate(tie.reads)}
        for feature in here:
            full[feature.id] = _derived(feature, full, variant)
        if not any(holds(condition, full, variant) for condition in tie.conditions):
            combos.append(combo)
    return combos


def _derived(feature: Feature, answers: Mapping[str, str], variant: str) -> str:
    return next((form for form, when in feature.derived if when is None or holds(when, answers, variant)), "")
