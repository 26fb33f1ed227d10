"""What a run tells besides mistakes: causes, what is derived, the state beside each step, what is taken for granted."""

from __future__ import annotations

from typing import Any

from dipper import dipper, steps_of

from handwheel.machines.conditions import Is
from handwheel.procedures.least import Way
from handwheel.procedures.program import Reached
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.run import Run, run_job, run_procedure
from handwheel.procedures.simulate.trace import Done, Violation
from handwheel.procedures.simulate.world import World
from handwheel.records.library import Library
from shopkit import by, reach, step, under

SOUND = run_job(dipper(), "dipper", "repair")


def run(**changed: Any) -> Run:
    return run_job(dipper(**changed), "dipper", "repair")


def done(found: Run, local: str, mirrored: bool = False) -> Done:
    return next(each for each in found.trace.done if (each.act.local, each.ref.mirrored) == (local, mirrored))


def derived(found: Done) -> set[tuple[str, str, str]]:
    return {(each.kind, each.subject[1], each.through[1] or each.detail) for each in found.derived}


def at_the_end(found: Run, code: str, subject: str) -> Violation:
    (one,) = (each for each in found.trace.of_code(code) if each.subject[1] == subject and each.act is None)
    return one


def test_the_chain_names_the_step_and_the_fastener_through_which_a_setting_was_lost() -> None:
    told = at_the_end(run(refit=steps_of("refit", throw_set=None)), "not-set-again", "throw")
    (cause,) = told.causes
    assert cause.act is not None
    assert (cause.act.id, cause.through) == ("tension-off/unit-off", ("fasteners", "set-screw"))
    assert cause.machines == told.machines


def test_a_part_left_off_names_the_step_that_took_it_off_and_the_answers_that_led_there() -> None:
    bench = [*steps_of("bench")[:2], by("wick", soft=[], hard=[step("Out.", id="wick-out", removes="wick")])]
    told = at_the_end(run(bench=[*bench, *steps_of("bench")[3:]]), "left-off", "wick")
    assert [cause.act.id for cause in told.causes if cause.act] == ["bench/wick-out"]
    assert ("wick", ("hard",)) in told.answers


def test_what_comes_with_a_removal_is_derived() -> None:
    found = derived(done(SOUND, "bracket-off"))
    assert found >= {
        ("undone", "bracket-screw", "lamp"),
        ("undone", "lamp-terminal", "lamp"),
        ("comes-along", "bulb", "lamp"),
        ("loses", "wiring", "lamp-terminal"),
    }
    assert ("loosened", "set-screw", "tension-unit") in derived(done(SOUND, "unit-off"))


def test_positions_are_taken_before_a_step_that_needs_them() -> None:
    assert ("see-that", "needle", "top") in derived(done(SOUND, "face-off"))


def test_a_mirrored_step_tightens_what_its_step_undid() -> None:
    found = done(SOUND, "bracket-off", mirrored=True)
    assert {each.subject[1] for each in found.derived if each.kind == "tightened"} == {"bracket-screw", "lamp-terminal"}


def test_washing_dries_points_and_a_new_setting_wears_the_test_out() -> None:
    assert ("dries", "disc-point", "white-spirit") in derived(done(SOUND, "bath"))
    again = run(test=[*steps_of("test")[:2], step("Set.", id="again", sets="throw"), *steps_of("test")[1:]])
    assert {each.code for each in again.trace.violations} >= {"not-set-again", "set-too-early"}
    assert ("loses", "pull", "throw") in derived(done(again, "again"))


def test_the_state_before_and_after_a_step() -> None:
    face_off = done(SOUND, "face-off")
    assert "face-plate" not in face_off.before.of("off")
    extent = face_off.after.of("off")["face-plate"]
    assert extent.some == extent.always == face_off.machines
    lamp = face_off.after.of("off")["lamp"]
    assert lamp.some == lamp.always != face_off.machines


def test_what_holds_only_with_some_answers_is_not_always_so() -> None:
    bench = [*steps_of("bench")[:2], by("wick", soft=[], hard=[step("Out.", id="wick-out", removes="wick")])]
    found = run(bench=[*bench, *steps_of("bench")[3:]])
    extent = done(found, "wick-fed").after.of("off")["wick"]
    assert extent.some == done(found, "wick-fed").machines
    assert extent.always == 0


def test_what_a_procedure_leaves_open_for_the_next() -> None:
    summary = next(each for each in SOUND.trace.summaries if each.procedure == "tension-off")
    assert summary.leaves.of("off").keys() >= {"face-plate", "tension-unit", "nut", "spring", "outer-disc"}
    assert summary.leaves.of("loose").keys() == {"set-screw"} | {
        fastener for fastener in summary.leaves.of("loose") if fastener == "stalk-screw"
    }
    assert summary.leaves.of("lost").keys() >= {"throw", "pull"}
    assert (summary.effects, summary.steps) == (6, 6)


def test_a_procedure_of_words_only_is_not_simulated() -> None:
    found = run(bench=[step("Look at it well."), step("Think.", id="think")], order=("bench",))
    assert [(each.effects, each.steps) for each in found.trace.summaries] == [(0, 2)]


def test_alone_a_procedure_takes_for_granted_what_it_needs() -> None:
    alone = run_procedure(dipper(), "dipper", "bench")
    needs = {(each.fact[0], each.fact[1], each.holds) for each in alone.trace.needed}
    assert alone.trace.violations == ()
    assert needs >= {
        ("off", "nut", True),
        ("off", "tension-unit", True),
        ("off", "tyre", True),
        ("off", "face-plate", True),
        ("live", "mains", False),
        ("asked", "led-lamp", True),
    }


def test_alone_nothing_is_taken_for_granted_that_the_procedure_itself_undid() -> None:
    twice = dipper(tension_off=[*steps_of("tension-off"), step("Off.", id="again", removes="face-plate")])
    found = run_procedure(twice, "dipper", "tension-off")
    assert {(each.code, each.subject[1]) for each in found.trace.violations} == {("not-in-place", "face-plate")}


def test_alone_a_part_cannot_be_both_on_and_off_before_the_start() -> None:
    seen = [step("On.", id="on", sets="pull"), step("Fit it.", id="fit", fits="nut")]
    found = run_procedure(dipper(bench=seen), "dipper", "bench")
    assert {(each.code, each.subject[1]) for each in found.trace.violations} == {("fitted-twice", "nut")}


def test_conditions_after_an_exchange_see_the_new_form() -> None:
    led = under({"bulb": "led"}, step("Note the LED lamp.", id="noted"))
    found = run(bench=[*steps_of("bench"), led])
    noted = done(found, "noted")
    assert noted.machines == found.machines & found.space.mask(Is("lamp", frozenset(("bracket", "stalk"))))
    assert all(dict(world.changed) == {"bulb": "led"} for world in noted.before.worlds if world.changed)


def test_questions_that_nothing_later_reads_keep_no_worlds_apart() -> None:
    assert max(len(each.before.worlds) for each in SOUND.trace.done if each.ref.procedure == "test") <= 4
    assert {len(each.leaves.worlds) for each in SOUND.trace.summaries} <= {1, 2}


def reaching(**changed: Any) -> Library:
    spring = reach("spring", step("Fit a new spring.", id="spring-new", renews="spring"))
    return dipper(test=[spring, step("Set it.", id="set-again", sets="pull"), *steps_of("test")], **changed)


def test_what_is_in_front_of_a_part_to_be_reached_comes_off_and_goes_back() -> None:
    found = run_job(reaching(), "dipper", "repair")
    assert found.trace.violations == ()
    (way,) = found.trace.planned
    assert (way.parts, way.proven, way.machines) == (("spring",), True, found.machines)
    assert [act.step.removes for act in way.first] == [("nut",)]
    assert [act.step.fits for act in way.back] == [("nut",)]
    anchors = [each.ref.anchor for each in found.trace.done if each.ref.procedure == "test"]
    assert len(anchors) == len(set(anchors))
    assert [each for each in anchors if each.startswith("reach-spring--")] == [
        act.anchor for act in (*way.first, *way.back)
    ]


def test_a_part_that_no_step_takes_off_is_told_where_something_behind_it_is_to_be_reached() -> None:
    nowhere = [step("Look at it.", id="looked")]
    found = run_job(reaching(**{"tension_off": nowhere}), "dipper", "repair")
    told = [(each.code, each.subject, each.machines) for each in found.trace.of_code("no-removal")]
    assert told == [("no-removal", ("parts", "nut"), found.machines)]


def test_another_planner_is_judged_by_the_same_simulation() -> None:
    def nothing_first(_item: Reached, _ground: Ground, world: World) -> list[tuple[int, Way]]:
        return [(world.machines, Way())]

    planned = run_job(reaching(), "dipper", "repair", planner=nothing_first)
    assert {(each.code, each.subject[1], each.about[1]) for each in planned.trace.violations} >= {
        ("behind", "spring", "nut")
    }
