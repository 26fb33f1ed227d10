"""The space against enumeration, by Hypothesis on random small families."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.errors import (
    DerivedGap,
    FamilyFault,
    NoSuchMachine,
    NotKept,
    TooMany,
    UnknownQuestion,
    UnknownState,
    UnknownVariant,
)
from handwheel.machines.machine import Machine, Origin
from handwheel.machines.questions import MISSING, Family, Feature, Outsider, Variant
from handwheel.machines.space import Space
from machines.enumeration import Shown, every_machine, fitted, holds, parts_of
from machines.making import evidence, families, families_with, law

With = tuple[Family, tuple[Condition, ...]]


def shown(machine: Machine) -> Shown:
    return {"variant": machine.variant, **machine.forms}


def keys(machines: list[Shown]) -> list[tuple[tuple[str, str], ...]]:
    return sorted(tuple(sorted(machine.items())) for machine in machines)


@law
@given(families())
def test_the_machines_are_those_that_enumeration_finds(family: Family) -> None:
    space = Space(family)
    assert keys(every_machine(family)) == keys([shown(m) for m in space.machines(space.all)])


@law
@given(families_with())
def test_a_mask_holds_the_machines_on_which_the_condition_holds(drawn: With) -> None:
    family, (condition,) = drawn
    space = Space(family)
    expected = [machine for machine in every_machine(family) if holds(family, condition, machine)]
    mask = space.mask(condition)
    assert keys(expected) == keys([shown(m) for m in space.machines(mask)])
    assert len(expected) == space.count(mask)


@law
@given(families_with(2))
def test_de_morgan(drawn: With) -> None:
    family, (one, two) = drawn
    space = Space(family)
    assert space.mask(Not(All((one, two)))) == space.mask(Any((Not(one), Not(two))))
    assert space.mask(Not(Any((one, two)))) == space.mask(All((Not(one), Not(two))))
    assert space.mask(one) | space.mask(Not(one)) == space.all
    assert space.mask(one) & space.mask(Not(one)) == 0


@law
@given(families())
def test_bits_and_machines_name_each_other(family: Family) -> None:
    space = Space(family)
    for machine in space.machines(space.all):
        bit = space.bit_of(machine)
        assert machine == space.machine(bit)
        looked_at = {f.id: machine.forms[f.id] for f in family.features if not f.derived}
        assert bit == space.bit_of(Machine(machine.variant, looked_at))


@law
@given(families())
def test_as_built_has_every_part_original(family: Family) -> None:
    space = Space(family)
    for variant in family.variants:
        expected = [
            machine
            for machine in every_machine(family)
            if machine["variant"] == variant.id
            and all(machine[q] in forms for q, forms in variant.features.items())
            and MISSING not in machine.values()
        ]
        assert keys(expected) == keys([shown(m) for m in space.machines(space.as_built(variant.id))])


@law
@given(families())
def test_the_origin_of_a_part_is_every_source_that_gives_its_forms(family: Family) -> None:
    space = Space(family)
    for machine in space.machines(space.all):
        for part, features in parts_of(family).items():
            seen = {feature.id: machine.forms[feature.id] for feature in features}
            sources = {source for source, forms in fitted(family, part, machine.variant) if forms == seen}
            origin = space.origin(machine, part)
            named = {f"outside {o}" for o in origin.outsiders} | set(origin.donors)
            named |= {"original"} if origin.original else set()
            assert sources == named | ({"missing"} if origin.missing else set())


@law
@given(families_with(), st.data())
def test_leaving_questions_out_is_exact(drawn: With, data: st.DataObject) -> None:
    """A machine stands in the smaller space exactly if some full machine looks like it there."""
    family, _ = drawn
    asked = data.draw(st.sets(st.sampled_from([feature.id for feature in family.features])))
    space = Space(family, asked)
    assert asked <= set(space.questions)
    kept = {"variant", *space.questions}
    expected = {tuple(sorted((q, s) for q, s in m.items() if q in kept)) for m in every_machine(family)}
    assert sorted(expected) == keys([shown(m) for m in space.machines(space.all)])


@law
@given(families(), st.data())
def test_known_evidence_leaves_the_machines_that_agree(family: Family, data: st.DataObject) -> None:
    space = Space(family)
    known = data.draw(evidence(family))
    expected = [
        machine
        for machine in every_machine(family)
        if (known.variants is None or machine["variant"] in known.variants)
        and all(machine[question] in forms for question, forms in known.forms.items())
    ]
    assert keys(expected) == keys([shown(m) for m in space.machines(space.known(known))])


@law
@given(families())
def test_states_are_those_that_some_machine_shows(family: Family) -> None:
    space = Space(family)
    machines = every_machine(family)
    for question in space.questions:
        assert {machine[question] for machine in machines} == set(space.states(question))
    assert {machine["variant"] for machine in machines} == set(space.states("variant"))


# One family by hand, counted by hand.

LAMP = Feature("lamp", ("bracket", "stalk", "none"), carried_by="lamp", swapped="often", missing=True)
FINISH = Feature("finish", ("clear-coat", "enamel"), carried_by="head")
SUPPLY = Feature(
    "supply",
    ("mains", "without"),
    derived=(("mains", Is("lamp", frozenset({"bracket", "stalk"}))), ("without", None)),
)
SECOND = Variant("second", {"lamp": ("bracket",), "finish": ("clear-coat",)})
FOURTH = Variant("fourth", {"lamp": ("stalk", "none"), "finish": ("enamel",)})
CLASH = All((Is("lamp", frozenset({"bracket"})), Is("finish", frozenset({"enamel"}))))
DIPPER = Family("dipper", (SECOND, FOURTH), (LAMP, FINISH, SUPPLY), cannot_stand=(CLASH,))


def test_a_family_counted_by_hand() -> None:
    """Two variants, each with a bracket, a stalk, none or a lost lamp; a bracket cannot stand on enamel."""
    space = Space(DIPPER)
    assert space.count(space.all) == 2 * 4 - 1
    assert space.count(space.variant_mask("fourth")) == 3
    assert space.count(space.as_built("fourth")) == 2
    assert space.count(space.mask(Is("supply", frozenset({"mains"})))) == 3
    assert space.count(space.mask(Is("lamp", frozenset({MISSING})))) == 2


def test_equal_forms_are_one_machine_with_several_origins() -> None:
    outside = Outsider("clamp-lamp", "lamp", {"lamp": ("stalk",)})
    space = Space(Family("dipper", (SECOND, FOURTH), (LAMP, FINISH), (outside,)))
    assert space.count(space.all) == 8
    stalk = Machine("second", {"lamp": "stalk", "finish": "clear-coat"})
    assert space.origin(stalk, "lamp") == Origin(False, ("fourth",), ("clamp-lamp",), False)
    assert space.origin(stalk, "head") == Origin(True)
    lost = Machine("second", {"lamp": MISSING, "finish": "clear-coat"})
    assert space.origin(lost, "lamp") == Origin(False, missing=True)


def test_unknown_names_say_which_was_likely_meant() -> None:
    space = Space(DIPPER)
    with pytest.raises(UnknownQuestion, match="unknown question 'lampe'; did you mean 'lamp'"):
        space.mask(Is("lampe", frozenset({"stalk"})))
    with pytest.raises(UnknownState, match="did you mean 'stalk'"):
        space.mask(Is("lamp", frozenset({"stalks"})))
    with pytest.raises(UnknownVariant, match="did you mean 'fourth'"):
        space.mask(OfVariant(frozenset({"forth"})))
    with pytest.raises(KeyError):
        space.mask(Is("motor", frozenset({"any"})))
    with pytest.raises(NotKept, match="finish"):
        Space(Family("dipper", (SECOND,), (LAMP, FINISH)), ["lamp"]).mask(Is("finish", frozenset({"enamel"})))


def test_a_machine_that_cannot_stand_is_refused() -> None:
    space = Space(DIPPER)
    with pytest.raises(NoSuchMachine):
        space.bit_of(Machine("fourth", {"lamp": "bracket", "finish": "enamel"}))
    with pytest.raises(NoSuchMachine):
        space.bit_of(Machine("second", {"lamp": "stalk", "finish": "enamel"}))
    outside = next(bit for bit in range(space.size) if not space.all >> bit & 1)
    for bit in (outside, space.size, -1):
        with pytest.raises(NoSuchMachine):
            space.machine(bit)


def test_a_derived_feature_without_a_form_names_the_machines() -> None:
    gap = Feature("supply", ("mains",), derived=(("mains", Is("lamp", frozenset({"bracket", "stalk"}))),))
    with pytest.raises(DerivedGap, match="no clause holds on 4 machines: variant second, lamp none") as raised:
        Space(Family("dipper", (SECOND, FOURTH), (LAMP, FINISH, gap)))
    assert raised.value.count == 4


def test_a_gap_on_machines_that_cannot_stand_is_none() -> None:
    gap = Feature("supply", ("mains",), derived=(("mains", Is("lamp", frozenset({"bracket", "stalk"}))),))
    without = Is("lamp", frozenset({"none", MISSING}))
    space = Space(Family("dipper", (SECOND, FOURTH), (LAMP, FINISH, gap), cannot_stand=(without,)))
    assert space.count(space.all) == 4


def test_too_many_is_said_before_anything_is_listed() -> None:
    features = tuple(Feature(f"f{i}", ("a", "b", "c"), swapped="often") for i in range(60))
    with pytest.raises(TooMany) as raised:
        Space(Family("wide", (Variant("only"),), features))
    assert raised.value.count == 3**60
    assert Space(Family("wide", (Variant("only"),), features), ["f1", "f2"]).size == 9
    one_part = tuple(Feature(f"f{i}", ("a", "b", "c"), "head") for i in range(60))
    with pytest.raises(TooMany):
        Space(Family("deep", (Variant("only"),), one_part))


@pytest.mark.parametrize(
    ("family", "message"),
    [
        (Family("f", (), (Feature("a", ("x",)), Feature("a", ("x",)))), "twice"),
        (Family("f", (Variant("v"), Variant("v")), ()), "twice"),
        (Family("f", (), (Feature("variant", ("x",)),)), "may be called"),
        (Family("f", (), (Feature("a", ("x", MISSING)),)), "needs forms"),
        (Family("f", (), (Feature("a", ()),)), "needs forms"),
        (Family("f", (Variant("v", {"a": ()}),), (Feature("a", ("x",)),)), "needs forms"),
        (Family("f", (), (Feature("d", ("x",), derived=(("x", Is("d", frozenset("x"))),)),)), "circle: d -> d"),
    ],
)
def test_a_family_that_contradicts_itself_is_refused(family: Family, message: str) -> None:
    with pytest.raises(FamilyFault, match=message):
        Space(family)


@pytest.mark.parametrize(
    "family",
    [
        Family("f", (Variant("v", {"b": ("x",)}),), (Feature("a", ("x",)),)),
        Family("f", (Variant("v", {"a": ("y",)}),), (Feature("a", ("x",)),)),
        Family("f", (), (Feature("a", ("x",)),), (Outsider("o", "a", {"b": ("x",)}),)),
        Family("f", (), (Feature("a", ("x",)),), cannot_stand=(Is("b", frozenset("x")),)),
        Family("f", (), (Feature("d", ("x",), derived=(("y", None),)),)),
        Family("f", (), (Feature("d", ("x",), derived=(("x", Is("b", frozenset("x"))),)),)),
        Family("f", (Variant("v", {"d": ("x",)}),), (Feature("d", ("x",), derived=(("x", None),)),)),
    ],
)
def test_a_family_with_an_unknown_name_is_refused(family: Family) -> None:
    with pytest.raises(KeyError):
        Space(family)


def test_a_family_without_variants_has_no_machines() -> None:
    space = Space(Family("empty", (), (LAMP, FINISH, SUPPLY)))
    assert space.all == space.mask(Is("lamp", frozenset({"stalk"}))) == 0
    assert list(space.machines(space.all)) == []
