"""Mistakes planted one by one in a sound shop: each is told, by its code and by what it is about."""

from __future__ import annotations

from typing import Any

import pytest
from dipper import JOB, dipper, kilograms, steps_of

from handwheel.procedures.simulate.lifting import LiftLimit
from handwheel.procedures.simulate.run import Run, run_job
from handwheel.records import values as v
from handwheel.records.step_records import Wait
from shopkit import HERE, agent, by, fastener, mirror, part, repeat, step, under


def run(limit: LiftLimit = LiftLimit(), **changed: Any) -> Run:
    return run_job(dipper(*changed.pop("records", ()), **changed), "dipper", "repair", limit)


def told(found: Run) -> set[tuple[str, str]]:
    return {(each.code, each.subject[1]) for each in found.trace.violations}


def test_the_sound_shop_has_nothing_to_tell() -> None:
    found = run()
    assert found.trace.violations == ()
    assert found.trace.ends["in-service"] == found.machines != 0


@pytest.mark.parametrize("dried", ["head", "face-plate", ""])
def test_a_wait_on_all_that_is_wet_makes_heat_possible(dried: str) -> None:
    """Wiped on the machine, a spirit runs down the head: it is not enough that the plate has dried off."""
    wait = [step("Wait.", id="d", wait=Wait(of=(dried,), duration=v.Amount("2 h", 7200.0, "time", HERE)))]
    work = [
        step("Wipe it.", id="w", cleans={"face-plate": "naphtha"}, how="wipe"),
        *(wait if dried else ()),
        step("Warm it.", id="h", heats="head"),
    ]
    found = told(run(test=[*work, *steps_of("test")], records=[agent("naphtha", flammable=True)]))
    assert (("heated-wet", "head") in found) == (dried != "head")


def test_a_neglected_machine_has_its_wick_washed_or_renewed() -> None:
    assert told(run(start="neglected")) == {("never-cleaned", "wick")}
    oily = step("Wash the wick.", id="wick-washed", removes="wick", cleans={"wick": "white-spirit"})
    tried = step("Try it.", id="wick-tried", tests_on={"wick": "white-spirit"})
    back = step("Push it in.", id="wick-back", fits="wick")
    bench = [*steps_of("bench")[:1], tried, oily, back, *steps_of("bench")[1:]]
    assert told(run(start="neglected", bench=bench)) == set()


OIL_EARLY = step("Feed it.", id="early", lubricates="wick-point")
LAMP = {"supply": "mains"}
MISTAKES: dict[str, tuple[dict[str, Any], set[tuple[str, str]]]] = {
    "refit left out": (
        {"order": [each for each in JOB if each != "refit"]},
        {("left-off", "lamp"), ("left-off", "nut"), ("not-set-again", "throw"), ("not-set-again", "wiring")},
    ),
    "cleaned before it is stripped": (
        {"order": ["take-in", "lamp-off", "bench", "tension-off", "refit", "test"]},
        {
            ("bath-in-place", "nut"),
            ("bath-in-place", "tension-unit"),
            ("agent-harms", "tyre"),
            ("behind", "wick-point"),
        },
    ),
    "a setting left out": (
        {"refit": steps_of("refit", throw_set=None)},
        {("set-too-early", "pull"), ("tested-too-early", "sewing"), ("not-set-again", "throw")},
    ),
    "a setting under a fitted plate": (
        {"refit": [mirror("tension-off", without="scribed"), *steps_of("refit")[1:2], *steps_of("refit")[3:]]},
        {("set-too-early", "throw"), ("behind", "set-screw")},
    ),
    "a bath with the tyre still on": (
        {"tension-off": steps_of("tension-off", tyre_off=None)},
        {("agent-harms", "tyre")},
    ),
    "spirit on shellac": (
        {"bench": [*steps_of("bench"), step("Wipe it.", id="w", cleans={"head": "alcohol"})]},
        {("agent-harms", "head"), ("not-tested-first", "head")},
    ),
    "a wiped part drips on the head": (
        {"bench": [*steps_of("bench"), step("Wipe it.", id="w", cleans={"wick": "alcohol"}, how="wipe")]},
        {("agent-harms", "head"), ("not-tested-first", "head")},
    ),
    "heat beside what is still wet with a spirit": (
        {
            "test": [
                step("Wipe it.", id="w", cleans={"face-plate": "naphtha"}, how="wipe"),
                step("Warm it.", id="h", heats="head"),
                *steps_of("test"),
            ],
            "records": [agent("naphtha", flammable=True)],
        },
        {("heated-wet", "head")},
    ),
    "run under power with no motor": (
        {
            "test": [step("Sew.", id="r", runs="motor"), *steps_of("test")],
            "records": [part("motor", powers=True, when={"lamp": "none"})],
        },
        {("nothing-to-run", "mains")},
    ),
    "turned with the wheel off": (
        {
            "bench": [*steps_of("bench"), step("Off.", id="o", removes="wheel"), step("Turn.", id="t", turns="works")],
            "records": [part("wheel", turns=("works",)), fastener("wheel-screw", ["wheel"])],
        },
        {("nothing-to-turn", "wheel")},
    ),
    "washed and not oiled": ({"bench": steps_of("bench", disc_oiled=None)}, {("not-oiled", "disc-point")}),
    "oiled under the cover": (
        {"take_in": [*steps_of("take-in"), OIL_EARLY]},
        {("behind", "wick-point")},
    ),
    "hard wick and nothing done": (
        {"bench": [*steps_of("bench")[:2], by("wick", soft=[], hard=[]), *steps_of("bench")[3:]]},
        {("fault-left", "wick")},
    ),
    "found and nothing follows": (
        {"bench": [*steps_of("bench")[:2], *steps_of("bench")[3:]]},
        {("nothing-follows", "wick")},
    ),
    "used before it is asked": ({"bench": steps_of("bench", wick_look=None)}, {("asked-too-late", "wick")}),
    "a case left out": (
        {"bench": [*steps_of("bench")[:2], by("wick", soft=[]), *steps_of("bench")[3:]]},
        {("no-alternative", "wick"), ("fault-left", "wick")},
    ),
    "a case twice": (
        {"bench": [*steps_of("bench")[:2], by("wick", soft=[], hard_or_soft=[step("New.", renews="wick")])]},
        {("several-alternatives", "wick")},
    ),
    "a repeat that reads nothing": (
        {
            "refit": [
                *steps_of("refit")[:5],
                repeat({"pull": "right"}, step("Turn.", id="t"), otherwise=[step("Set.", id="z", sets="pull")]),
            ]
        },
        {("asked-too-late", "pull"), ("never-ends", "pull")},
    ),
    "a repeat whose case does nothing": (
        {
            "refit": [
                *steps_of("refit")[:5],
                repeat(
                    {"pull": "right"},
                    step("Read.", id="r", measures="pull"),
                    by("pull", slack_or_tight=[], right=[step("Write.", id="w", sets="pull")]),
                    otherwise=[step("Set.", id="z", sets="pull")],
                ),
            ]
        },
        {("repeat-changes-nothing", "")},
    ),
    "a repeat without a way out": (
        {
            "refit": [
                *steps_of("refit")[:5],
                repeat(
                    {"pull": "right"},
                    step("Read.", id="r", measures="pull"),
                    by("pull", slack_or_tight=[step("Turn.", id="t")], right=[step("Write.", id="w", sets="pull")]),
                ),
            ]
        },
        {("no-way-out", "pull"), ("fault-left", "pull")},
    ),
    "unplugged too late": (
        {"order": ["lamp-off", "take-in", *JOB[2:]]},
        {("live-work", "lamp"), ("live-work", "bulb")},
    ),
    "plugged in before the test": (
        {"test": [step("Plug it in.", id="p", restores="mains"), *steps_of("test")]},
        {("live-before-test", "electrical"), ("left-plugged-in", "mains")},
    ),
    "lamp work after the test": (
        {
            "test": [
                *steps_of("test")[:2],
                under(LAMP, step("Off.", removes="lamp"), step("On.", fits="lamp"), step("Set.", sets="wiring")),
                *steps_of("test")[2:],
            ]
        },
        {("handed-over-untested", "electrical")},
    ),
    "handed over without a seam": ({"test": steps_of("test", seam=None)}, {("handed-over-untested", "sewing")}),
    "never handed over": ({"test": steps_of("test", told=None)}, {("never-handed-over", "")}),
    "handed over twice": (
        {"test": [*steps_of("test"), step("Again.", id="again", hands_over=True)]},
        {("handed-over-twice", "")},
    ),
    "the key is kept": ({"test": steps_of("test", packed=None)}, {("not-given-back", "key")}),
    "the key was never taken in": ({"take_in": steps_of("take-in", listed=None)}, {("not-taken-in", "key")}),
    "an only-loosened screw undone": (
        {
            "tension-off": [
                *steps_of("tension-off")[:2],
                step("Out.", id="o", undoes="set-screw"),
                *steps_of("tension-off")[2:],
            ]
        },
        {("only-loosened", "set-screw")},
    ),
    "undone twice": (
        {"tension-off": [*steps_of("tension-off"), step("Out.", id="o", undoes="face-screw")]},
        {("undone-twice", "face-screw")},
    ),
    "loosened and left": (
        {"test": [step("Loosen it.", id="l", loosens="face-screw"), *steps_of("test")]},
        {("left-loose", "face-screw")},
    ),
    "off twice": (
        {"tension-off": [*steps_of("tension-off"), step("Off.", id="o", removes="nut")]},
        {("not-in-place", "nut")},
    ),
    "on twice": ({"refit": [*steps_of("refit"), step("On.", id="o", fits="nut")]}, {("fitted-twice", "nut")}),
    "circle in behind": (
        {"records": [part("nut", material="steel", behind="spring")]},
        {("behind", "nut")},
    ),
    "wiring undone without tags": (
        {
            "lamp_off": [
                by(
                    "lamp",
                    bracket=[step("Off.", removes=("lamp", "end-cover"))],
                    stalk=[step("Off.", id="s", removes="lamp")],
                    none=[],
                )
            ]
        },
        {("not-marked", "wiring")},
    ),
    "a promise broken": (
        {"bench": steps_of("bench")[:-1]},
        {("promise-not-kept", "led-lamp")},
    ),
    "a step for a part that is not there": (
        {"lamp_off": [step("Off.", id="o", removes="lamp")]},
        {("not-on-this-machine", "lamp"), ("not-marked", "wiring")},
    ),
    "an effect that is forbidden": (
        {"bench": [*steps_of("bench"), step("Warm it.", id="h", heats="head")]},
        {("prohibited", "head")},
    ),
    "turned while it may be stiff": (
        {"take_in": steps_of("take-in")[:3] + steps_of("take-in")[4:]},
        {("cannot-turn", "works"), ("fault-left", "works")},
    ),
    "a screw left loose when it is lifted": (
        {
            "bench": [
                step("Slacken.", id="s", loosens="base-bolt"),
                step("Lift.", id="l", lifts="head", people=2),
                step("Tighten.", id="t", tightens="base-bolt"),
                *steps_of("bench"),
            ]
        },
        {("lifted-loose", "base-bolt")},
    ),
    "lifted by one": (
        {"take_in": [*steps_of("take-in"), step("Lift.", id="l", lifts="head")]},
        {("too-heavy", "head")},
    ),
    "left plugged in by a job that may stop with everything else open": (
        {
            "test": [
                *steps_of("test")[:1],
                under(
                    {"supply": "mains"},
                    step("Plug it in.", id="p", restores="mains"),
                    step("Look.", id="l", finds="works"),
                    by("works", free=[], stiff=[step("Stop.", id="s", stops="quote-again")]),
                    step("Pull the plug.", id="u", isolates="mains"),
                ),
                *steps_of("test")[1:],
            ]
        },
        {("left-plugged-in", "mains")},
    ),
    "an outcome that the job has not": (
        {
            "take_in": [
                *steps_of("take-in")[:3],
                by("works", free=[], stiff=[step("Stop.", stops="scrap")]),
                *steps_of("take-in")[4:],
            ]
        },
        {
            ("unknown-outcome", ""),
            ("fault-left", "works"),
            ("handed-over-untested", "sewing"),
            ("handed-over-untested", "electrical"),
        },
    ),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_a_planted_mistake_is_told(name: str) -> None:
    changed, expected = MISTAKES[name]
    assert expected <= told(run(**changed))


def test_a_forgotten_step_behind_a_mirror_shows_in_the_aim() -> None:
    strip = steps_of("tension-off", nut_off=None)
    codes = told(run(tension_off=strip))
    assert ("aim-missed", "nut") in codes


def test_a_part_that_no_longer_hangs_on_the_head_is_not_lifted_with_it() -> None:
    lift = step("Lift.", id="l", lifts="head")
    off = step("Tilt the head out.", id="b", removes="base")
    back = step("Set it back.", id="k", fits="base")
    assert ("too-heavy", "head") not in told(run(take_in=[*steps_of("take-in"), off, lift, back]))
    heavy = run(take_in=[*steps_of("take-in"), lift])
    done = next(each for each in heavy.trace.done if each.act.local == "l")
    assert {(each.kind, each.subject[1]) for each in done.derived} >= {("could-come-off", "base"), ("lifted", "head")}
    assert ("too-heavy", "head") not in told(run(LiftLimit(each_grams=15_000), take_in=[*steps_of("take-in"), lift]))


def test_a_missing_part_is_not_there_to_be_left_off() -> None:
    records = [part("base", when={"lamp": "bracket"}, mass=kilograms(4.0)), fastener("base-bolt", "base")]
    found = run(records=records, test=[step("Off.", id="o", removes="base"), *steps_of("test")])
    by_code = {each.code: each for each in found.trace.violations}
    assert by_code.keys() == {"not-on-this-machine", "left-off"}
    assert by_code["left-off"].machines & by_code["not-on-this-machine"].machines == 0
