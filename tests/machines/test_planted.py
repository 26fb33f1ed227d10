"""Mistakes planted in the machines room: the comparison with enumeration catches every one.

A check that cannot fail is a defect, so the laws of the other files are run here on a
room that is wrong in one place.
"""

from __future__ import annotations

from typing import Any as Anything

import pytest

from handwheel.machines import cells, coupling, describe, masks, space, truth
from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.family import Carrier, FamilyIndex
from handwheel.machines.machine import Known
from handwheel.machines.questions import MISSING, Family, Feature, Outsider, Variant
from handwheel.machines.space import Space
from machines.enumeration import every_machine, holds

LAMP = Feature("lamp", ("bracket", "stalk", "none"), "lamp", "often", missing=True)
SHADE = Feature("shade", ("round", "square"), "lamp")
WINDER = Feature("winder", ("geared", "latch", "friction"), "", "seldom")
FINISH = Feature("finish", ("clear-coat", "enamel"), "head", effort="strip")
CASTING = Feature("casting", ("iron", "aluminium"), "head")
SUPPLY = Feature(
    "supply",
    ("mains", "without"),
    derived=(
        ("mains", Is("lamp", frozenset({"bracket", "stalk"}))),
        ("without", None),
    ),
)
CARE = Feature(
    "care",
    ("much", "little"),
    derived=(
        ("much", All((Is("supply", frozenset({"mains"})), Is("finish", frozenset({"clear-coat"}))))),
        ("little", None),
    ),
)
FAMILY = Family(
    "swan",
    (
        Variant("one", {"lamp": ("bracket",), "shade": ("round",), "winder": ("geared",), "finish": ("clear-coat",)}),
        Variant("two", {"lamp": ("stalk", "none"), "winder": ("latch",), "finish": ("enamel",), "casting": ("iron",)}),
    ),
    (CARE, LAMP, SHADE, WINDER, FINISH, CASTING, SUPPLY),
    (
        Outsider("clip-on", "lamp", {"lamp": ("stalk",), "shade": ("square",)}),
        Outsider("belt-winder", "winder", {"winder": ("friction",)}),
    ),
    (
        All((Is("lamp", frozenset({"bracket"})), Is("winder", frozenset({"friction"})))),
        All((Is("casting", frozenset({"aluminium"})), Is("winder", frozenset({"latch"})))),
        All((Is("shade", frozenset({"square"})), Not(Is("winder", frozenset({"latch"}))))),
    ),
)
CONDITIONS: tuple[Condition, ...] = (
    Any((Is("care", frozenset({"much"})), Is("winder", frozenset({"latch"})))),
    All((Is("lamp", frozenset({MISSING, "none"})), Not(OfVariant(frozenset({"one"}))))),
    Is("shade", frozenset({"square"})),
    Not(All((Is("winder", frozenset({"geared", "friction"})), Is("casting", frozenset({"iron"}))))),
)


def differences(family: Family = FAMILY) -> list[str]:
    """What the room says differently from enumeration."""
    machines = every_machine(family)
    made = Space(family)
    found = [{"variant": m.variant, **m.forms} for m in made.machines(made.all)]
    wrong = [] if sorted(map(key, machines)) == sorted(map(key, found)) else ["machines"]
    if made.count(made.all) != len(machines) or coupling.count_machines(family) != len(machines):
        wrong.append("count")
    for condition in CONDITIONS:
        mask = made.mask(condition)
        if made.count(mask) != sum(holds(family, condition, machine) for machine in machines):
            wrong.append("mask")
        if made.mask(describe.describe(made, mask).condition) != mask:
            wrong.append("description")
    for asked in (["lamp"], ["winder"], ["casting", "shade"], ["care"]):
        small = Space(family, asked)
        kept = {"variant", *small.questions}
        shown = {key({q: s for q, s in machine.items() if q in kept}) for machine in machines}
        if sorted(shown) != sorted(key({"variant": m.variant, **m.forms}) for m in small.machines(small.all)):
            wrong.append("projection")
    return wrong + looks_wrong(made)


def looks_wrong(made: Space) -> list[str]:
    contrary = {"finish": frozenset({"clear-coat"}), "lamp": frozenset({"stalk"})}
    found = [
        truth.truth(made, CONDITIONS[0]),
        truth.truth(made, OfVariant(frozenset({"one"}))),
        truth.truth(made, CONDITIONS[0], Known(frozenset({"two"}), contrary)),
    ]
    right = [
        truth.Depends(("lamp", "winder", "finish")),
        truth.Depends(("finish",)),
        truth.Contradiction(("finish", "variant")),
    ]
    return [] if found == right else ["looks"]


def key(machine: dict[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple(sorted(machine.items()))


def test_nothing_differs_in_the_room_as_it_is() -> None:
    assert differences() == []


def without_outsiders(self: FamilyIndex, carrier: Carrier) -> tuple[Outsider, ...]:
    return ()


def without_missing(index: FamilyIndex, carrier: Carrier) -> tuple[Anything, ...]:
    return tuple(forms for forms in REAL_VALUES(index, carrier) if MISSING not in forms)


def without_donor(index: FamilyIndex, carrier: Carrier) -> tuple[Anything, ...]:
    return tuple(carrier.combinations(index.family.variants[0].features))


def mixed_on_one_carrier(index: FamilyIndex, carrier: Carrier) -> tuple[Anything, ...]:
    return tuple(carrier.combinations({}))


def last_clause_wins(self: cells.Cells, feature: Feature) -> dict[tuple[str, str], int]:
    made = {(feature.id, form): 0 for form in feature.forms}
    for form, clause in feature.derived:
        here = self.full if clause is None else self.evaluate(clause)
        made = {of: mask & ~here for of, mask in made.items()}
        made[feature.id, form] |= here
    return made


def one_bit_short(count: int) -> int:
    return (1 << count) - 1 if count < 3 else (1 << (count - 1)) - 1


REAL_VALUES = cells._values
PLANTED: dict[str, tuple[object, str, object]] = {
    "outsiders forgotten": (FamilyIndex, "outsiders", without_outsiders),
    "missing forgotten": (cells, "_values", without_missing),
    "donors forgotten": (cells, "_values", without_donor),
    "forms of one part mixed": (cells, "_values", mixed_on_one_carrier),
    "what cannot stand forgotten": (cells.Cells, "standing", lambda self: self.full),
    "nothing coupled": (space, "closure", lambda index, qs: frozenset().union(*map(index.base, qs))),
    "derived feature not followed": (FamilyIndex, "base", lambda self, question: frozenset((question,))),
    "last clause instead of first": (cells.Cells, "_derive", last_clause_wins),
    "all clauses true of what is left": (masks, "union", lambda parts: next(iter(parts), 0)),
    "one bit short": (masks, "ones", one_bit_short),
    "repeated once less": (cells, "repeat", lambda block, width, times: masks.repeat(block, width, max(times - 1, 1))),
    "union takes the first": (space, "union", lambda parts: next(iter(parts), 0)),
    "description too wide": (describe.Describer, "_box", lambda self, target, rest: {}),
    "alternatives left out": (describe, "_without_spare", lambda found, target: found[:1]),
    "every look settles": (truth, "settles", lambda made, looks, holds, within: True),
    "any few looks do": (truth, "_tells", lambda table, places: True),
    "strip before glance": (truth, "EFFORTS", ("strip", "tool", "glance")),
    "clash never shortened": (truth, "_all_of", lambda made, parts: 1),
}


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_mistake_is_caught(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    where, attribute, wrong = PLANTED[name]
    monkeypatch.setattr(where, attribute, wrong)
    try:
        found = differences()
    except KeyError as missing:
        found = [f"does not even run: {missing}"]
    assert found
