"""Descriptions are exact, and short where a short one exists."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.describe import Description, describe, words
from handwheel.machines.masks import VARIANT, bits
from handwheel.machines.questions import MISSING, Family, Feature, Variant
from handwheel.machines.space import Space
from machines.enumeration import every_machine, holds
from machines.making import families_with, law

With = tuple[Family, tuple[Condition, ...]]


@law
@given(families_with(2))
def test_a_description_fits_these_machines_and_no_others(drawn: With) -> None:
    family, (condition, wider) = drawn
    space = Space(family)
    within = space.mask(wider)
    found = describe(space, space.mask(condition), within)
    assert found.exact
    for machine in every_machine(family):
        if holds(family, wider, machine):
            assert holds(family, condition, machine) is holds(family, found.condition, machine)


@law
@given(families_with(), st.data())
def test_any_set_of_machines_at_all_is_described(drawn: With, data: st.DataObject) -> None:
    """Machines picked at random have nothing in common; the description is long, and right."""
    space = Space(drawn[0])
    everything = list(bits(space.all))
    picked = data.draw(st.sets(st.sampled_from(everything), max_size=12)) if everything else set()
    mask = sum(1 << bit for bit in picked)
    found = describe(space, mask)
    assert found.exact
    assert space.mask(found.condition) == mask
    assert len(found.alternatives) <= max(len(picked), 1)


@law
@given(families_with())
def test_one_question_is_enough_where_one_question_tells(drawn: With) -> None:
    space = Space(drawn[0])
    for question in space.questions:
        for state in space.states(question):
            found = describe(space, space.form_mask(question, state))
            assert sum(map(len, found.alternatives)) <= 1


@law
@given(families_with())
def test_no_alternative_can_be_left_out(drawn: With) -> None:
    family, (condition,) = drawn
    space = Space(family)
    found = describe(space, space.mask(condition))
    whole = space.mask(found.condition)
    for spare in found.alternatives:
        others = tuple(alternative for alternative in found.alternatives if alternative is not spare)
        assert space.mask(Description(others, found.all_but).condition) != whole or not whole


LAMP = Feature("lamp", ("bracket", "stalk", "none"), swapped="often", missing=True)
WINDER = Feature("winder", ("geared", "friction", "latch"), swapped="often")
FINISH = Feature("finish", ("clear-coat", "enamel"))
VARIANTS = tuple(
    Variant(f"v{year}", {"lamp": (lamp,), "winder": (winder,), "finish": (finish,)})
    for year, lamp, winder, finish in [
        (1, "none", "geared", "clear-coat"),
        (2, "bracket", "friction", "clear-coat"),
        (3, "stalk", "latch", "enamel"),
    ]
)
SPACE = Space(Family("swan", VARIANTS, (LAMP, WINDER, FINISH)))


def one(question: str, *forms: str) -> Condition:
    return Is(question, frozenset(forms))


def say(condition: Condition) -> str:
    return words(describe(SPACE, SPACE.mask(condition)), groups={"early": frozenset({"v1", "v2"})})


def test_plain_words() -> None:
    early = OfVariant(frozenset({"v1", "v2"}))
    assert say(one("winder", "geared", "friction")) == "winder geared or friction"
    assert say(All((one("winder", "geared"), OfVariant(frozenset({"v2"}))))) == "winder geared; on v2"
    assert say(All((one("winder", "geared", "friction"), early))) == "winder geared or friction; finish clear-coat"
    assert say(one("lamp", MISSING)) == "lamp missing"
    assert say(one("lamp", "bracket", "stalk", "none")) == "lamp bracket, stalk or none"
    assert say(Any((one("winder", "latch"), one("lamp", MISSING)))) == "either lamp missing, or winder latch"
    assert say(All()) == "every machine"
    assert say(Any()) == "no machine"


def test_groups_and_names_are_said_where_they_fit() -> None:
    space = Space(SPACE.family, ["lamp", "winder"])
    early = describe(space, space.mask(OfVariant(frozenset({"v1", "v2"}))))
    assert words(early, groups={"early": frozenset({"v1", "v2"})}) == "on early"
    assert (
        words(early, {("variant", "v1"): "the first", ("variant", "v2"): "the second"}) == "on the first or the second"
    )
    names = {("winder", ""): "bobbin winder", ("winder", "latch"): "sprung away by a latch"}
    latch = describe(space, space.mask(one("winder", "latch")))
    assert words(latch, names) == "bobbin winder sprung away by a latch"


def test_several_alternatives() -> None:
    both = Any(
        (All((one("winder", "geared"), one("lamp", "none"))), All((one("winder", "latch"), one("lamp", "stalk"))))
    )
    assert say(both) == "either lamp none; winder geared, or lamp stalk; winder latch"


def test_too_many_alternatives_are_said_to_be_some_of_more() -> None:
    scattered = Any(
        tuple(All((one("winder", w), one("lamp", f))) for w, f in zip(WINDER.forms, LAMP.forms, strict=True))
    )
    found = describe(SPACE, SPACE.mask(scattered), most=2)
    assert not found.exact
    assert SPACE.mask(scattered) & ~SPACE.mask(found.condition) == 0
    assert words(found) == "some of: lamp bracket, stalk or none"
    assert len(describe(SPACE, SPACE.mask(scattered)).alternatives) == 3


def test_all_but_is_a_description_too() -> None:
    rare = All((one("winder", "geared"), one("lamp", "none")))
    found = describe(SPACE, SPACE.mask(Not(rare)))
    assert found == Description(({"lamp": ("none",), "winder": ("geared",)},), all_but=True)
    assert words(found) == "all but lamp none; winder geared"


def test_what_all_of_them_share_is_not_said() -> None:
    """`within` decides what has to be told apart: on the first variant alone, the finish says nothing."""
    first = SPACE.variant_mask("v1")
    found = describe(SPACE, SPACE.mask(one("winder", "latch")) & first, first)
    assert words(found) == "winder latch"


def test_a_long_list_of_forms_is_told_by_those_that_are_not_on_it() -> None:
    """Only where those are fewer, and only where all forms are known."""
    forms = ("bracket", "stalk", "hood", "none")
    one_out = Description(({"lamp": forms[:3], VARIANT: ("v1", "v2")},))
    assert words(one_out, every={"lamp": forms}) == "lamp other than none; on v1 or v2"
    assert words(one_out) == "lamp bracket, stalk or hood; on v1 or v2"
    half = Description(({"lamp": forms[:2]},))
    assert words(half, every={"lamp": forms}) == "lamp bracket or stalk"
    variants = Description(({VARIANT: ("v1", "v2", "v3")},))
    assert words(variants, every={VARIANT: ("v1", "v2", "v3", "v4")}) == "on all but v4"
