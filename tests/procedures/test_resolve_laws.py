"""What must be so for every small shop: nothing lost, nothing wrongly in, whatever is known of the machine."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import Phase, assume, given, settings
from hypothesis import strategies as some
from small_shops import FORMS, STATES, OneMachine, known_wholly, machines_of, shops

from handwheel.machines.machine import Known, Machine
from handwheel.machines.truth import Always, Contradiction, Depends
from handwheel.procedures.resolve import AsBuilt, Resolver
from handwheel.procedures.resolved import Alternatives, Group, Resolved, ResolvedItem, ResolvedStep, lists_of
from handwheel.records.library import Library

FEW, MANY = 20, 400
PHASES = [Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink]
"""Without explaining: a library is long to print."""


def every(items: tuple[ResolvedItem, ...]) -> list[ResolvedItem]:
    found: list[ResolvedItem] = []
    for item in items:
        found += [item, *(item.arms if isinstance(item, Alternatives) else ())]
        for held in lists_of(item):
            found += every(held)
    return found


def open_looks(resolved: Resolved) -> list[object]:
    """Everything that hangs on a look still to be taken."""
    verdicts = [item.verdict for item in every(resolved.items) if isinstance(item, ResolvedStep | Group)]
    texts = [text for step in resolved.steps for text in (step.do, step.ok) if text]
    verdicts += [option.verdict for text in texts for option in text.options]
    pieces = [piece for text in texts for option in text.options for piece in option.value]
    verdicts += [option.verdict for piece in pieces if hasattr(piece, "texts") for option in piece.texts.options]
    return [verdict for verdict in verdicts if isinstance(verdict.truth, Depends)]


def resolver_and_machines(library: Library) -> tuple[Resolver, list[Machine]]:
    machines = machines_of(library)
    assume(machines)
    return Resolver(library, "dipper"), machines


@settings(max_examples=FEW, deadline=None, phases=PHASES)
@given(shops(), some.data())
def test_a_machine_known_wholly_leaves_no_look_open(library: Library, data: some.DataObject) -> None:
    resolver, machines = resolver_and_machines(library)
    machine = data.draw(some.sampled_from(machines))
    resolved = resolver.resolve("main", known_wholly(machine))
    assert open_looks(resolved) == []
    for wick in STATES:
        one = OneMachine(library, machine, wick)
        assert one.played(resolved) == one.done("main")


@settings(max_examples=FEW, deadline=None, phases=PHASES)
@given(shops(), some.data())
def test_what_is_known_in_part_says_the_same_once_the_looks_are_taken(library: Library, data: some.DataObject) -> None:
    resolver, machines = resolver_and_machines(library)
    machine = data.draw(some.sampled_from(machines))
    seen = data.draw(some.sets(some.sampled_from(sorted(FORMS))))
    whole = known_wholly(machine)
    variants = data.draw(some.sampled_from([None, whole.variants]))
    part = Known(variants, {name: whole.forms[name] for name in seen})
    resolved, direct = resolver.resolve("main", part), resolver.resolve("main", whole)
    for wick in STATES:
        one = OneMachine(library, machine, wick)
        assert one.played(resolved) == one.played(direct) == one.done("main")


@settings(max_examples=FEW, deadline=None, phases=PHASES)
@given(shops(), some.data())
def test_always_is_said_only_of_what_all_machines_have(library: Library, data: some.DataObject) -> None:
    resolver, machines = resolver_and_machines(library)
    lamp = data.draw(some.sampled_from(FORMS["lamp"]))
    resolved = resolver.resolve("main", Known(None, {"lamp": frozenset((lamp,))}))
    still = [machine for machine in machines if machine.forms["lamp"] == lamp]
    if not still:
        assert isinstance(resolved.verdict.truth, Contradiction)
        return
    done = [{anchor for anchor, _ in OneMachine(library, m, wick).done("main")} for m in still for wick in STATES]
    for item in resolved.items:
        if isinstance(item, ResolvedStep) and item.verdict.asked is None and isinstance(item.verdict.truth, Always):
            assert all(item.anchor in each for each in done)
    possible = {step.anchor for step in resolved.steps}
    assert possible == set().union(*done)


@settings(max_examples=FEW, deadline=None, phases=PHASES)
@given(shops(), some.data())
def test_an_answer_given_takes_its_alternatives_away(library: Library, data: some.DataObject) -> None:
    resolver, machines = resolver_and_machines(library)
    machine = data.draw(some.sampled_from(machines))
    wick = data.draw(some.sampled_from(STATES))
    resolved = resolver.resolve("main", known_wholly(machine), {"wick": wick})
    assert all(isinstance(item, ResolvedStep) and item.verdict.settled for item in resolved.items)
    one = OneMachine(library, machine, wick)
    assert [step.anchor for step in resolved.steps] == [anchor for anchor, _ in one.done("main")]


@settings(max_examples=FEW, deadline=None, phases=PHASES)
@given(shops())
def test_reasons_and_variants_agree_with_the_machines_that_left_the_works(library: Library) -> None:
    resolver, machines = resolver_and_machines(library)
    made = {
        v.id: [m for m in machines if m.variant == v.id and _original(m, v.features)] for v in library.variants.values()
    }
    having = resolver.having("main")
    for variant, originals in made.items():
        done = [{a for w in STATES for a, _ in OneMachine(library, m, w).done("main")} for m in originals]
        for anchor, has in having.items():
            assert (variant in has) == any(anchor in each for each in done)
            if variant in has:
                assert has[variant] == all(anchor in each for each in done)
        page = resolver.resolve("main", AsBuilt(variant))
        if originals:
            assert {step.anchor for step in page.steps} == {a for a, has in having.items() if variant in has}


@settings(max_examples=FEW, deadline=None, phases=PHASES)
@given(shops())
def test_a_step_holds_for_the_machines_that_may_do_it(library: Library) -> None:
    resolver, machines = resolver_and_machines(library)
    for anchor in resolver.having("main"):
        held = resolver.holds_for("main", anchor)
        for machine in machines:
            bit = held.space.bit_of(Machine(machine.variant, {q: machine.forms[q] for q in held.space.questions}))
            does = any(anchor == a for wick in STATES for a, _ in OneMachine(library, machine, wick).done("main"))
            assert bool(held.mask >> bit & 1) == does


def _original(machine: Machine, features: object) -> bool:
    assert isinstance(features, dict)
    return all(machine.forms[name] in forms for name, forms in features.items())


LAWS = [
    test_a_machine_known_wholly_leaves_no_look_open,
    test_what_is_known_in_part_says_the_same_once_the_looks_are_taken,
    test_always_is_said_only_of_what_all_machines_have,
    test_an_answer_given_takes_its_alternatives_away,
    test_reasons_and_variants_agree_with_the_machines_that_left_the_works,
    test_a_step_holds_for_the_machines_that_may_do_it,
]


@pytest.mark.long
@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.__name__)
def test_the_same_on_many_shops(law: Any) -> None:
    inner = law.hypothesis.inner_test
    given_ = given(shops()) if inner.__code__.co_argcount == 1 else given(shops(), some.data())
    settings(max_examples=MANY, deadline=None, phases=PHASES)(given_(inner))()
