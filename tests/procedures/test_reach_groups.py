"""A part reached on machines known in part: each machine is in the group that has its own plan, and losses are so."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from making_reaching import reaching_shops
from making_shops import FEATURES, PARTS

from handwheel.machines.conditions import ALWAYS
from handwheel.machines.machine import Known
from handwheel.machines.space import Space
from handwheel.procedures.program import Act, Program
from handwheel.procedures.reach import Planner, in_space
from handwheel.procedures.reach_groups import reach_known
from handwheel.procedures.resolve import AsBuilt
from handwheel.procedures.simulate.run import run_program
from handwheel.records.families import family_of
from handwheel.records.library import Library
from shopkit import FAMILY, fastener, feature, part, procedure, shop, step, under, variant

law = settings(deadline=None, max_examples=60, suppress_health_check=list(HealthCheck))


@st.composite
def found(draw: st.DrawFn) -> Known:
    """What may be known of a machine: nothing, or some forms of one feature."""
    feature_ = draw(st.sampled_from(("", "a", "b", "bulb", "d")))
    if not feature_:
        return Known()
    states = st.lists(st.sampled_from(FEATURES[feature_]), min_size=1, max_size=2, unique=True)
    return Known(None, {feature_: frozenset(draw(states))})


@given(reaching_shops(), found(), st.sampled_from(PARTS))
@law
def test_each_machine_is_in_the_one_group_that_has_its_plan(library: Library, known: Known, wanted: str) -> None:
    answer = reach_known(library, FAMILY, known, wanted, verify=False)
    everything = Space(family_of(library, FAMILY))
    count = 0
    for bit in (1 << n for n in range(everything.size) if everything.known(known) >> n & 1):
        plan = Planner(library, everything, bit).plan(wanted)
        here = in_space(answer.space, everything.machine(bit.bit_length() - 1))
        groups = [group for group in answer.groups if group.machines & here]
        assert [group.plan.key for group in groups] == [plan.key]
        count += 1
    assert bool(count) == bool(answer.groups)
    for group in answer.groups:
        if group.condition is not None:
            assert answer.space.mask(group.condition) & answer.within == group.machines


def lost_by_simulation(library: Library, acts: Iterable[Any], machine: Any) -> set[str] | None:
    """Settings lost once steps were run; None where something is said against them."""
    run = run_program(library, FAMILY, Program("", ALWAYS, tuple(acts)))
    here = in_space(run.space, machine)
    if any(each.machines & here for each in run.trace.violations):
        return None
    (summary,) = run.trace.summaries
    return {name for name, extent in summary.leaves.of("lost").items() if extent.some & here}


@given(reaching_shops(), st.sampled_from(PARTS), st.integers(0, 50))
@law
def test_what_a_plan_says_is_lost_is_what_the_simulation_loses(library: Library, wanted: str, number: int) -> None:
    space = Space(family_of(library, FAMILY))
    bits = [bit for bit in range(space.size) if space.all >> bit & 1]
    bit = bits[number % len(bits)]
    planner = Planner(library, space, 1 << bit)
    plan = planner.plan(wanted)
    simulated = lost_by_simulation(library, (*plan.first, *plan.off, *plan.back), space.machine(bit))
    if simulated is not None and not plan.missing:
        assert simulated == {name for act in (*plan.first, *plan.off) for name in planner.lost_by(act.step)}


LAMPS = [feature("lamp", "bracket", "stalk", "none", swapped="often", carried_by="cover", missing=True)]


@pytest.fixture(scope="module")
def lamp_shop() -> Library:
    """A bush behind a cover that machines with a bracket have."""
    return shop(
        *LAMPS,
        variant("first", lamp="bracket"),
        variant("second", lamp=("stalk", "none")),
        part("head", root=True),
        part("cover", when={"lamp": ["bracket", "missing"]}),
        part("bush", behind="cover"),
        fastener("cover-screw", "cover"),
        fastener("bush-screw", "bush"),
        procedure(
            "strip",
            under({"lamp": "bracket"}, step("Lift the cover off.", id="cover-off", removes="cover")),
            step("Push it out.", id="bush-out", removes="bush"),
            area="strip",
        ),
    )


def steps(acts: Iterable[Act]) -> list[str]:
    return [act.local for act in acts]


def test_machines_of_which_nothing_is_known_are_told_apart_by_what_the_part_hangs_on(lamp_shop: Library) -> None:
    answer = reach_known(lamp_shop, FAMILY, Known(), "bush")
    ways = {tuple(steps(group.plan.off)): group for group in answer.groups}
    assert ways.keys() == {("cover-off", "bush-out"), ("bush-out",)}
    assert all(group.looks == ("lamp",) for group in answer.groups)
    assert all(group.plan.violations == () for group in answer.groups)


def test_a_lost_part_need_not_come_off(lamp_shop: Library) -> None:
    answer = reach_known(lamp_shop, FAMILY, Known(None, {"lamp": frozenset(("missing",))}), "bush")
    (group,) = answer.groups
    assert steps(group.plan.off) == ["bush-out"]
    assert group.condition is None and group.looks == ()


def test_a_variant_as_built_has_only_what_it_left_the_works_with(lamp_shop: Library) -> None:
    answer = reach_known(lamp_shop, FAMILY, AsBuilt("second"), "bush")
    assert [steps(group.plan.off) for group in answer.groups] == [["bush-out"]]
