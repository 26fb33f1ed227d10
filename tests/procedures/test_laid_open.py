"""Steps that reach parts, put in where a procedure is shown: those that the run takes, on each machine."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from making_reaching import reaching_shops

from handwheel.machines.machine import Known
from handwheel.machines.space import Space
from handwheel.procedures.laid_open import laid_open
from handwheel.procedures.reach import in_space
from handwheel.procedures.resolve import AsBuilt, Machine, Resolver
from handwheel.procedures.shown import as_lines
from handwheel.procedures.simulate.run import run_procedure
from handwheel.records.families import family_of
from handwheel.records.library import Library
from shopkit import FAMILY, feature, part, procedure, reach, shop, step, variant

LAMP = {"lamp": "bracket"}


@pytest.fixture(scope="module")
def bush_shop() -> Library:
    """A bush behind a plate, and on some machines behind a bracket too."""
    return shop(
        feature("lamp", "bracket", "stalk", swapped="often"),
        variant("first", lamp="bracket"),
        variant("second", lamp="stalk"),
        part("head", root=True),
        part("plate"),
        part("bracket", when=LAMP),
        part("bush", behind=("bracket", "plate")),
        procedure(
            "strip",
            step("Lift the plate off.", id="plate-off", removes="plate"),
            step("Lift the bracket off.", id="bracket-off", removes="bracket", when=LAMP),
            area="strip",
        ),
        procedure("work", step("Look.", id="look"), reach("bush", step("Press a new one in.", id="in", renews="bush"))),
    )


def anchors(library: Library, machine: Machine) -> list[str]:
    return [each.anchor for each in Resolver(library, FAMILY).resolve("work", machine).steps]


def test_a_machine_gets_the_steps_that_it_needs_before_and_after(bush_shop: Library) -> None:
    plate, bracket = "reach-bush--strip--plate-off", "reach-bush--strip--bracket-off"
    back = [f"{bracket}--back", f"{plate}--back"]
    assert anchors(bush_shop, AsBuilt("first")) == ["look", plate, bracket, "in", *back]
    assert anchors(bush_shop, AsBuilt("second")) == ["look", plate, "in", back[1]]


def test_a_machine_of_which_nothing_is_known_gets_them_with_the_look(bush_shop: Library) -> None:
    lines = list(as_lines(bush_shop, Resolver(bush_shop, FAMILY).resolve("work", Known())))
    place = next(number for number, line in enumerate(lines) if line.strip().startswith("Look first"))
    assert lines[place + 1].strip().startswith("If lamp: bracket")
    assert lines[place + 2].strip().endswith("Lift the bracket off.")


def test_a_procedure_that_reaches_nothing_is_the_very_same(bush_shop: Library) -> None:
    assert not any(act.anchor.startswith("reach") for act in laid_open(bush_shop, "strip").acts)


def changing_bulb(swapped: str) -> Library:
    """A bush behind a plate, and with an old bulb behind that too; between, the bulb is changed for a new one."""
    return shop(
        feature("bulb", "old", "new", swapped=swapped, carried_by="bulb", changes_by_work=True),
        feature("lamp", "bracket", "stalk"),
        variant("first", bulb="old", lamp="bracket"),
        variant("second", bulb="new", lamp="stalk"),
        part("head", root=True),
        part("bulb"),
        part("plate", when={"bulb": "old"}),
        part("bush", behind=("plate",)),
        procedure("strip", step("Lift the plate off.", id="plate-off", removes="plate"), area="strip"),
        procedure("work", reach("bush", step("Change the bulb.", id="bulb-in", renews={"bulb": "new"}))),
    )


def test_a_step_back_is_never_lost_where_work_changes_what_would_name_its_machines() -> None:
    """The bulb is new by the time that the plate goes back, so "with an old bulb" would leave it on the bench."""
    plate = "reach-bush--strip--plate-off"
    told = changing_bulb(swapped="never")  # the lamp tells the same machines, and stays as it is
    assert anchors(told, AsBuilt("first")) == [plate, "bulb-in", f"{plate}--back"]
    assert anchors(told, AsBuilt("second")) == ["bulb-in"]
    untold = changing_bulb(swapped="often")
    assert anchors(untold, AsBuilt("first")) == anchors(untold, AsBuilt("second")) == ["bulb-in"]
    assert sorted(len(each.first) for each in run_procedure(untold, FAMILY, "work").trace.planned) == [0, 1]


@pytest.mark.long
@given(reaching_shops())
@settings(deadline=None, max_examples=25, suppress_health_check=list(HealthCheck))
def test_what_is_shown_for_a_machine_is_what_the_run_does_on_it(library: Library) -> None:
    run = run_procedure(library, FAMILY, "work")
    opened = [act.anchor for act in laid_open(library, "work").acts if act.anchor.startswith("reach-")]
    if not opened:
        return
    resolver = Resolver(library, FAMILY)
    everything = Space(family_of(library, FAMILY))
    machines = list(everything.machines(everything.all))
    for machine in machines[:: len(machines) // 6 + 1]:
        here = in_space(run.space, machine)
        plans = [each for each in run.trace.planned if each.machines & here]
        done = {each.ref.anchor for each in run.trace.done if each.machines & here}
        known = Known(frozenset((machine.variant,)), {q: frozenset((form,)) for q, form in machine.forms.items()})
        shown = [each.anchor for each in resolver.resolve("work", known).steps]
        for place in {each.anchor for each in plans if any(one.startswith(f"{each.anchor}--") for one in opened)}:
            ways = [[a.anchor for a in (*p.first, *p.back) if a.anchor in done] for p in plans if p.anchor == place]
            mine = [each for each in shown if each.startswith(f"{place}--")]
            # what was found on the way may lead to several; where the machine's path ends before there are none
            assert mine == ways[0] if len(ways) == 1 else set(mine) == {each for way in ways for each in way}
