"""Descriptions are exact, and short where a short one exists."""

from __future__ import annotations

from itertools import combinations

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.describe import Description, describe, words
from handwheel.machines.masks import VARIANT, bits
from handwheel.machines.questions import MISSING, Family, Feature, Variant
from handwheel.machines.space import Space
from handwheel.machines.truth import EFFORTS
from machines.enumeration import Shown, every_machine, holds
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


MOST_TRIED = 3
"""Questions up to which what is tested tries every set of them too."""


def looked_at(family: Family) -> list[str]:
    """Questions in the order in which they are preferred: a glance first, the variant last."""
    asked = sorted((f for f in family.features if not f.derived), key=lambda f: EFFORTS.index(f.effort))
    return [*(f.id for f in asked), *(f.id for f in family.features if f.derived), VARIANT]


def shown_by(family: Family, machines: list[Shown], question: str) -> set[str]:
    return {machine[question] for machine in machines}


def smallest(family: Family, target: list[Shown], rest: list[Shown]) -> dict[str, set[str]] | None:
    """Of the smallest sets of questions that tell the target from the rest the one with the fewest forms to read.

    Every set is tried, smallest first; of equal ones the first stays. None: no set of questions tells them apart.
    """
    questions = looked_at(family)
    for size in range(len(questions) + 1):
        assume(size <= MOST_TRIED)
        enough: list[dict[str, set[str]]] = []
        for chosen in combinations(questions, size):
            forms = {question: shown_by(family, target, question) for question in chosen}
            if not any(all(machine[q] in shown for q, shown in forms.items()) for machine in rest):
                enough.append(forms)
        if enough:
            return min(enough, key=lambda forms: sum(map(len, forms.values())))
    return None


def preferred(family: Family, target: list[Shown], rest: list[Shown]) -> tuple[dict[str, set[str]], bool] | None:
    """The shortest to read, whole variants counted one longer; of equal ones forms, and what is said directly."""
    found: list[tuple[int, bool, bool, dict[str, set[str]]]] = []
    for machines, others, all_but in ((target, rest, False), (rest, target, True)):
        patterns = {VARIANT: shown_by(family, machines, VARIANT)}
        whole = not any(machine[VARIANT] in patterns[VARIANT] for machine in others)
        for box in (patterns if whole else None, smallest(family, machines, others)):
            if box is not None and machines:
                length = len(box) + sum(map(len, box.values())) + 2 * all_but
                found.append((length + (VARIANT in box), VARIANT in box, all_but, box))
    if not any(not all_but for _, _, all_but, _ in found):
        return None
    _, _, all_but, box = min(found, key=lambda each: each[:3])
    return box, all_but


@settings(law, max_examples=30)
@given(families_with())
def test_the_smallest_set_of_questions_is_taken_and_of_equal_ones_the_first_by_effort(drawn: With) -> None:
    """Held against every set of questions tried on every machine, one by one."""
    family, (condition,) = drawn
    everything = every_machine(family)
    target = [machine for machine in everything if holds(family, condition, machine)]
    rest = [machine for machine in everything if not holds(family, condition, machine)]
    space = Space(family)
    assume(target and rest)
    wanted = preferred(family, target, rest)
    assume(wanted is not None)
    assert wanted is not None
    found = describe(space, space.mask(condition))
    (box,) = found.alternatives
    assert ({question: set(forms) for question, forms in box.items()}, found.all_but) == wanted


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


def test_of_equal_questions_the_one_that_takes_less_effort_is_said() -> None:
    """Mark and plate tell the same, and either would do; so do the two variants, which are a word longer."""
    plate = Feature("plate", ("plain", "lined"), effort="tool")
    mark = Feature("mark", ("star", "ring"))
    built = tuple(
        Variant(name, {"plate": (form,), "mark": (seen,)})
        for name, form, seen in (("v1", "plain", "star"), ("v2", "lined", "ring"), ("v3", "lined", "ring"))
    )
    space = Space(Family("swan", built, (plate, mark)))
    assert words(describe(space, space.form_mask("plate", "lined"))) == "mark ring"
    assert words(describe(space, space.variant_mask("v1"))) == "mark star"
    assert words(describe(space, space.variant_mask("v2"))) == "on v2"


def test_one_long_question_is_said_rather_than_two_short_ones() -> None:
    """The fewest questions come first, then the fewest forms."""
    wide = Feature("wide", ("a", "b", "c", "d", "e", "f"))
    first, second = Feature("first", ("yes", "no")), Feature("second", ("yes", "no"))
    built = tuple(
        Variant(f"v-{form}-{name}", {"wide": (form,), "first": (one_,), "second": (two,)})
        for form, one_, two, name in (
            ("a", "yes", "yes", "1"), ("b", "yes", "yes", "2"), ("c", "yes", "yes", "3"),
            ("d", "no", "yes", "1"), ("e", "yes", "no", "2"), ("f", "no", "no", "3"),
        )
    )  # fmt: skip
    space = Space(Family("swan", built, (first, second, wide)))
    both = All((one("first", "yes"), one("second", "yes")))
    assert words(describe(space, space.mask(both))) == "wide a, b or c"


def test_a_variant_counts_one_longer_than_it_is() -> None:
    """Forms can be looked at: two variants are as long as the one form that they have not."""
    plate = Feature("plate", ("plain", "lined", "ringed", "bare"))
    forms = (("v1", ("plain", "lined")), ("v2", ("lined", "ringed")), ("v3", ("bare",)))
    space = Space(Family("swan", tuple(Variant(name, {"plate": shown}) for name, shown in forms), (plate,)))
    assert words(describe(space, space.variant_mask("v1") | space.variant_mask("v2"))) == "all but plate bare"
    assert words(describe(space, space.variant_mask("v1"))) == "on v1"
