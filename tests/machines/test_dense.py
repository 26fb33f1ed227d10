"""Leaving out what cannot stand changes the numbers of the machines, and nothing else."""

from __future__ import annotations

import pytest

from handwheel.machines import dense
from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.machine import Machine
from handwheel.machines.questions import Family, Feature, Variant
from handwheel.machines.space import Space

NAMES = ("lamp", "winder", "tension", "motor")
FORMS = ("a", "b", "c")


def family() -> Family:
    features = tuple(Feature(name, FORMS, swapped="often", missing=name == "lamp") for name in NAMES)
    derived = Feature("supply", ("mains", "none"), derived=(("mains", Is("motor", frozenset("ab"))), ("none", None)))
    variants = tuple(Variant(v, dict.fromkeys(NAMES, (v,))) for v in FORMS)
    alike = tuple(
        All((Is("winder", frozenset(one)), Is("tension", frozenset(other))))
        for one in FORMS
        for other in FORMS
        if one != other
    )
    return Family("plover", variants, (*features, derived), cannot_stand=alike)


def key(machine: Machine) -> tuple[str, tuple[tuple[str, str], ...]]:
    return machine.variant, tuple(sorted(machine.forms.items()))


CONDITIONS: tuple[Condition, ...] = (
    Is("lamp", frozenset(("a", "missing"))),
    Is("supply", frozenset(("mains",))),
    Not(All((OfVariant(frozenset("ab")), Is("winder", frozenset("b"))))),
    Any((Is("tension", frozenset("c")), OfVariant(frozenset("a")))),
)


@pytest.fixture
def both(monkeypatch: pytest.MonkeyPatch) -> tuple[Space, Space]:
    whole = Space(family())
    monkeypatch.setattr(dense, "WORTH", 0)
    monkeypatch.setattr(dense, "SPARSE", 1)
    return whole, Space(family())


def test_the_machines_are_the_same_and_stand_close(both: tuple[Space, Space]) -> None:
    whole, close = both
    assert close.size == whole.count(whole.all) < whole.size
    assert [*map(key, whole.machines(whole.all))] == [*map(key, close.machines(close.all))]


@pytest.mark.parametrize("condition", CONDITIONS, ids=range(len(CONDITIONS)))
def test_conditions_hold_on_the_same_machines(both: tuple[Space, Space], condition: Condition) -> None:
    one, other = ([*map(key, space.machines(space.mask(condition)))] for space in both)
    assert one == other


def test_bits_machines_and_machines_as_built_agree(both: tuple[Space, Space]) -> None:
    whole, close = both
    assert all(close.bit_of(close.machine(bit)) == bit for bit in range(close.size))
    for variant in FORMS:
        assert [*map(key, whole.machines(whole.as_built(variant)))] == [
            *map(key, close.machines(close.as_built(variant)))
        ]
