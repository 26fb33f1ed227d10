"""Three-valued truth against quantifying over enumerated machines, and against a SAT solver."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from handwheel.machines.conditions import ALWAYS, NEVER, All, Condition, Is, Not, OfVariant
from handwheel.machines.machine import Known
from handwheel.machines.questions import MISSING, Family, Feature, Variant
from handwheel.machines.space import Space
from handwheel.machines.truth import Always, Contradiction, Depends, Never, settles, truth
from machines.enumeration import Shown, every_machine, holds
from machines.making import evidence, families, families_with, law
from machines.satisfying import Clauses

With = tuple[Family, tuple[Condition, ...]]


def agree(known: Known, machine: Shown) -> bool:
    built = known.variants is None or machine["variant"] in known.variants
    return built and all(machine[question] in forms for question, forms in known.forms.items())


def as_conditions(known: Known) -> list[Condition]:
    said: list[Condition] = [Is(question, forms) for question, forms in known.forms.items()]
    return said if known.variants is None else [*said, OfVariant(known.variants)]


def told_apart(looks: tuple[str, ...], machines: list[Shown], answers: list[bool]) -> bool:
    """Whether machines that look the same give the same answer."""
    seen: dict[tuple[str, ...], bool] = {}
    return all(
        seen.setdefault(tuple(machine[look] for look in looks), answer) == answer
        for machine, answer in zip(machines, answers, strict=True)
    )


@law
@given(families_with(), st.data())
def test_truth_is_what_quantifying_over_the_machines_gives(drawn: With, data: st.DataObject) -> None:
    family, (condition,) = drawn
    known = data.draw(evidence(family))
    machines = [machine for machine in every_machine(family) if agree(known, machine)]
    answers = [holds(family, condition, machine) for machine in machines]
    kind = Contradiction if not machines else Always if all(answers) else Depends if any(answers) else Never
    assert isinstance(truth(Space(family), condition, known), kind)


@law
@given(families_with(), st.data())
def test_looks_settle_the_condition_and_none_can_be_left_out(drawn: With, data: st.DataObject) -> None:
    family, (condition,) = drawn
    known = data.draw(evidence(family))
    found = truth(Space(family), condition, known)
    if not isinstance(found, Depends):
        return
    machines = [machine for machine in every_machine(family) if agree(known, machine)]
    answers = [holds(family, condition, machine) for machine in machines]
    assert told_apart(found.looks, machines, answers)
    for fewer in combinations(found.looks, len(found.looks) - 1):
        assert not told_apart(fewer, machines, answers)
    derived = {feature.id for feature in family.features if feature.derived}
    assert derived.isdisjoint(found.looks)
    own = [f.id for f in family.features if not f.derived]
    if "variant" in found.looks:  # only if no looks at features settle it
        swapped = Space(family).index.carriers
        still = [q for q in own if not swapped[Space(family).index.carrier_of[q]].swapped]
        reads = Space(family).index.reads(condition)
        assert not told_apart(tuple({*still, *reads}), machines, answers)


@law
@given(families(), st.data())
def test_a_contradiction_names_looks_that_clash_and_no_others(family: Family, data: st.DataObject) -> None:
    known = data.draw(evidence(family))
    found = truth(Space(family), ALWAYS, known)
    machines = every_machine(family)
    if any(agree(known, machine) for machine in machines):
        assert found == Always()
        return
    assert isinstance(found, Contradiction)
    assert not any(agree(only(known, set(found.looks)), machine) for machine in machines)
    for look in found.looks:
        assert any(agree(only(known, set(found.looks) - {look}), machine) for machine in machines)


def only(known: Known, looks: set[str]) -> Known:
    forms = {question: forms for question, forms in known.forms.items() if question in looks}
    return Known(known.variants if "variant" in looks else None, forms)


@law
@given(families_with(4), st.data())
def test_truth_and_inclusion_agree_with_a_sat_solver(drawn: With, data: st.DataObject) -> None:
    """Solver: Minisat 2.2 (N. Een, N. Sorensson, "An extensible SAT-solver", 2003)."""
    family, conditions = drawn
    space, clauses = Space(family), Clauses(family)
    known = data.draw(evidence(family))
    for condition in conditions:
        can = clauses.possible(*as_conditions(known), condition)
        cannot = clauses.possible(*as_conditions(known), Not(condition))
        kinds = {(True, True): Depends, (True, False): Always, (False, True): Never, (False, False): Contradiction}
        assert isinstance(truth(space, condition, known), kinds[can, cannot])
    one, two, *_ = conditions
    inside = space.mask(one) & ~space.mask(two) == 0
    assert inside is not clauses.possible(one, Not(two))


@law
@given(families_with(), st.data())
def test_within_as_a_mask_is_the_same_as_what_is_known(drawn: With, data: st.DataObject) -> None:
    family, (condition,) = drawn
    known = data.draw(evidence(family))
    space = Space(family)
    found = truth(space, condition, known)
    if not isinstance(found, Contradiction):
        assert found == truth(space, condition, space.known(known))


# By hand.

LAMP = Feature("lamp", ("bracket", "stalk"), swapped="often", missing=True)
MOTOR = Feature("motor", ("belt", "geared"), swapped="seldom", effort="tool")
GEAR = Feature("gear", ("iron", "fibre"), swapped="seldom", effort="strip")
FINISH = Feature("finish", ("clear-coat", "enamel"))
DRIVE = Feature("drive", ("quiet", "loud"), derived=(("quiet", Is("motor", frozenset({"belt"}))), ("loud", None)))
EARLY = Variant("early", {"lamp": ("bracket",), "motor": ("belt",), "gear": ("iron",), "finish": ("clear-coat",)})
LATE = Variant("late", {"lamp": ("stalk",), "motor": ("geared",), "gear": ("fibre",), "finish": ("enamel",)})
SWAN = Space(Family("swan", (EARLY, LATE), (GEAR, MOTOR, LAMP, FINISH, DRIVE)))


def one(question: str, *forms: str) -> Condition:
    return Is(question, frozenset(forms))


def test_looks_stand_from_a_glance_to_stripping() -> None:
    every = All((one("gear", "iron"), one("motor", "belt"), one("lamp", "stalk")))
    assert truth(SWAN, every) == Depends(("lamp", "motor", "gear"))


def test_a_derived_feature_is_settled_by_what_it_rests_on() -> None:
    assert truth(SWAN, one("drive", "loud")) == Depends(("motor",))
    assert truth(SWAN, one("drive", "loud"), Known(forms={"motor": frozenset({"belt"})})) == Never()


def test_the_variant_is_settled_by_what_is_never_swapped() -> None:
    assert truth(SWAN, OfVariant(frozenset({"late"}))) == Depends(("finish",))


def test_the_variant_itself_is_asked_for_where_nothing_tells_it() -> None:
    twins = Family(
        "twins", (Variant("one", EARLY.features), Variant("two", EARLY.features)), (LAMP, GEAR, MOTOR, FINISH)
    )
    assert truth(Space(twins), OfVariant(frozenset({"one"}))) == Depends(("variant",))


def test_what_is_known_already_is_not_asked_for() -> None:
    both = All((one("lamp", "stalk"), one("motor", "belt")))
    assert truth(SWAN, both, Known(forms={"lamp": frozenset({"stalk"})})) == Depends(("motor",))
    assert truth(SWAN, both, Known(forms={"lamp": frozenset({MISSING})})) == Never()


def test_a_clash_names_the_two_looks_that_clash() -> None:
    known = Known(
        frozenset({"early"}),
        {"lamp": frozenset({"stalk"}), "finish": frozenset({"enamel"}), "drive": frozenset({"loud"})},
    )
    assert truth(SWAN, ALWAYS, known) == Contradiction(("finish", "variant"))


def test_no_machine_at_all_is_a_contradiction_of_nothing() -> None:
    assert truth(SWAN, ALWAYS, 0) == Contradiction(())
    assert truth(SWAN, NEVER) == Never()
    assert truth(SWAN, ALWAYS) == Always()


def test_settles_is_strict() -> None:
    holds_on = SWAN.mask(one("lamp", "stalk"))
    assert settles(SWAN, ("lamp",), holds_on, SWAN.all)
    assert not settles(SWAN, ("motor",), holds_on, SWAN.all)
