"""All machines at once against one machine at a time, on shops that nobody would write."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from making_reaching import reaching_shops
from making_shops import shops
from naive.one_by_one import Finding, simulate

from handwheel.machines.masks import bits
from handwheel.machines.space import Space
from handwheel.procedures.simulate.run import Run, run_job, run_procedure
from handwheel.records.families import family_of
from handwheel.records.library import Library
from shopkit import FAMILY, job, part, procedure, reach, shop, step, variant

quick = settings(deadline=None, max_examples=120, suppress_health_check=list(HealthCheck))
thorough = settings(quick, max_examples=5_000)


@pytest.fixture(autouse=True)
def own_spaces(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each run with the features only that it says it needs, as where machines are many."""
    monkeypatch.setattr("handwheel.procedures.simulate.run.FEW", 0)


def at_once(run: Run, answers: dict[str, str], variant: str) -> set[Finding]:
    """What the run tells of one machine."""
    here = run.space.variant_mask(variant)
    for question in run.space.questions:
        here &= run.space.form_mask(question, answers[question])
    found = set()
    for each in run.trace.violations:
        if each.machines & here:
            anchor = each.act.anchor if each.act else ""
            found.add((each.code, (each.position, each.place, anchor), each.subject, each.about))
    return found


def agrees(library: Library) -> int:
    """Compare machine by machine; gives how many machines there were."""
    run = run_job(library, FAMILY, "job")
    everything = Space(family_of(library, FAMILY))
    count = 0
    for machine in everything.machines(everything.all):
        one = simulate(library, "job", machine.variant, dict(machine.forms))
        assert at_once(run, dict(machine.forms), machine.variant) == one, machine
        count += 1
    assert all(not each.machines & ~run.machines for each in run.trace.violations)
    assert count >= len(list(bits(run.machines)))
    return count


@given(shops())
@quick
def test_both_simulators_tell_the_same_of_every_machine(library: Library) -> None:
    agrees(library)


@given(reaching_shops())
@settings(quick, max_examples=50)
def test_both_simulators_reach_parts_in_the_same_way(library: Library) -> None:
    agrees(library)


def test_both_spare_a_part_that_no_step_takes_off_though_more_steps_are_needed() -> None:
    """Behind two layers of an assembly that could be moved away whole, if any step told how."""
    library = shop(
        variant("v1"),
        part("head", root=True),
        part("unit", inside="head"),
        part("outer", inside="unit"),
        part("inner", inside="unit", behind="outer"),
        part("wanted", inside="head", behind="inner"),
        procedure("strip", step("Off.", removes="outer"), step("Off too.", removes="inner"), area="strip"),
        procedure("work", reach("wanted", step("Renew it.", renews="wanted"))),
        job("job", "work", start="in-order"),
    )
    assert agrees(library) == 1
    (planned,) = run_job(library, FAMILY, "job").trace.planned
    assert [act.step.removes for act in planned.first] == [("outer",), ("inner",)]


@pytest.mark.long
@given(reaching_shops())
@thorough
def test_both_simulators_reach_parts_in_the_same_way_in_thousands_of_shops(library: Library) -> None:
    agrees(library)


@given(shops())
@settings(quick, max_examples=60)
def test_alone_every_procedure_can_be_run_and_needs_nothing_both_ways(library: Library) -> None:
    for name in ("one", "run"):
        found = run_procedure(library, FAMILY, name)
        needed = {(each.fact, each.holds): each.machines for each in found.trace.needed}
        assert all(not machines & ~found.machines for machines in needed.values())
        if not any(world.trail for done in found.trace.done for world in done.before.worlds):  # one path a machine
            assert all(not machines & needed.get((fact, not holds), 0) for (fact, holds), machines in needed.items())


@pytest.mark.long
@given(shops())
@thorough
def test_both_simulators_tell_the_same_of_every_machine_in_thousands_of_shops(library: Library) -> None:
    agrees(library)
