"""Exactly one of several conditions, against counting on each machine."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given

from handwheel.machines.alternatives import split
from handwheel.machines.conditions import ALWAYS, NEVER, Condition, Is
from handwheel.machines.questions import Family, Feature, Variant
from handwheel.machines.space import Space
from machines.enumeration import every_machine, holds
from machines.making import families_with, law


@law
@given(families_with(4))
def test_none_one_or_several(drawn: tuple[Family, tuple[Condition, ...]]) -> None:
    family, (within, *conditions) = drawn
    space = Space(family)
    machines = [machine for machine in every_machine(family) if holds(family, within, machine)]
    counts = [sum(holds(family, condition, machine) for condition in conditions) for machine in machines]
    found = split(space, conditions, space.mask(within))
    assert counts.count(0) == space.count(found.none)
    assert sum(count > 1 for count in counts) == space.count(found.several)
    assert found.exact is all(count == 1 for count in counts)
    shared = {(overlap.first, overlap.second): space.count(overlap.machines) for overlap in found.overlaps}
    for i, j in combinations(range(3), 2):
        both = sum(holds(family, conditions[i], m) and holds(family, conditions[j], m) for m in machines)
        assert both == shared.get((i, j), 0)


def test_every_form_named_once_is_exact() -> None:
    lamp = Feature("lamp", ("bracket", "stalk"), swapped="often")
    space = Space(Family("f", (Variant("v"),), (lamp,)))
    forms: list[Condition] = [Is("lamp", frozenset({form})) for form in lamp.forms]
    assert split(space, forms).exact
    assert not split(space, forms[:1]).exact
    assert not split(space, [*forms, ALWAYS]).exact
    assert split(space, [*forms, NEVER]).exact
    assert not split(space, []).exact
