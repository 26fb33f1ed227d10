"""Masks of a space that tells few features apart, in one that tells all: by conditions, and machine by machine."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.masks import VARIANT
from handwheel.machines.questions import Family, Feature, Variant
from handwheel.machines.space import Space
from handwheel.machines.widen import Widen

FORMS = {"lamp": ("hood", "link", "none"), "seat": ("slot", "blind"), "winder": ("latch", "plain"), "edge": ("a", "b")}
FAMILY = Family(
    "small",
    (
        Variant("early", {"lamp": ("hood",), "seat": ("slot",), "winder": ("latch",), "edge": ("a",)}),
        Variant("middle", {"lamp": ("hood", "none"), "seat": ("slot",), "winder": ("plain",), "edge": ("a",)}),
        Variant("late", {"lamp": ("link",), "seat": ("blind",), "winder": ("latch", "plain"), "edge": ("b",)}),
    ),
    (
        Feature("lamp", FORMS["lamp"], swapped="often"),
        Feature("seat", FORMS["seat"]),
        Feature("winder", FORMS["winder"], swapped="seldom", missing=True),
        Feature("edge", FORMS["edge"]),
    ),
    cannot_stand=(All((Is("lamp", frozenset({"link"})), Is("winder", frozenset({"plain"})))),),
)
WIDE = Space(FAMILY)


def some_condition(rng: random.Random, space: Space, depth: int = 2) -> Condition:
    if depth and rng.random() < 0.6:
        parts = tuple(some_condition(rng, space, depth - 1) for _ in range(2))
        return rng.choice((All(parts), Any(parts), Not(parts[0])))
    question = rng.choice((VARIANT, *space.questions))
    states = space.states(question)
    picked = frozenset(rng.sample(states, rng.randint(1, len(states))))
    return OfVariant(picked) if question == VARIANT else Is(question, picked)


@settings(deadline=None)
@given(st.sets(st.sampled_from(sorted(FORMS))), st.integers(0, 10_000))
def test_a_condition_holds_for_the_same_machines(kept: set[str], seed: int) -> None:
    narrow = Space(FAMILY, kept)
    condition = some_condition(random.Random(seed), narrow)
    assert Widen(narrow, WIDE)(narrow.mask(condition)) == WIDE.mask(condition)


@settings(deadline=None, max_examples=30)
@given(st.sets(st.sampled_from(sorted(FORMS))), st.data())
def test_any_mask_at_all_machine_by_machine(kept: set[str], data: st.DataObject) -> None:
    narrow = Space(FAMILY, kept)
    mask = data.draw(st.integers(0, narrow.all)) & narrow.all
    wide = Widen(narrow, WIDE)(mask)
    inside = {(each.variant, tuple(each.forms.items())) for each in narrow.machines(mask)}
    for bit in (bit for bit in range(WIDE.size) if WIDE.all >> bit & 1):
        machine = WIDE.machine(bit)
        told = (machine.variant, tuple((q, machine.forms[q]) for q in narrow.questions))
        assert (told in inside) == bool(wide >> bit & 1)
