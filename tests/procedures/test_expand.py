from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some

from handwheel.machines.conditions import ALWAYS, Is
from handwheel.procedures.expand import expand, expand_job
from handwheel.procedures.program import Act, Fork, Guarded, Loop, Program, Reached
from handwheel.records.library import Library
from handwheel.records.step_records import Node
from shopkit import by, ensure, job, mirror, one_of, procedure, reach, repeat, shop, step, under, use


def program(*procedures_: object, of: str = "main") -> Program:
    return expand(shop(procedures=procedures_), of)  # type: ignore[arg-type]


def codes(found: Program) -> list[str]:
    return [message.code for message in found.messages]


WASH = procedure(
    "wash",
    step("Brush <parts> in <agent>.", id="bath", cleans={"$parts": "$agent"}),
    step("Dry them.", id="dry", tools="$tool"),
    shared=True,
    takes=("parts", "agent", "tool"),
)


def test_a_plain_procedure_is_its_steps_in_order() -> None:
    found = program(procedure("main", step("Undo the lamp.", removes="lamp"), step("Look.", finds="wick")))
    assert [act.id for act in found.acts] == ["main/removes-lamp", "main/finds-wick"]
    assert [act.anchor for act in found.acts] == ["removes-lamp", "finds-wick"]
    assert found.messages == ()


def test_words_are_spread_in_lists_and_in_keys() -> None:
    found = program(WASH, procedure("main", use("wash", parts=["nut", "spring"], agent="spirit", tool="brush")))
    bath, dry = found.acts
    assert bath.step.cleans == {"nut": "spirit", "spring": "spirit"}
    assert dry.step.tools == ("brush",)
    assert bath.authored.cleans == {"$parts": "$agent"}
    assert (bath.id, bath.anchor) == ("wash/bath", "wash--bath")
    assert [link.kind for link in bath.chain] == ["use"]
    assert found.messages == ()


def test_words_reach_through_a_run_within_a_run() -> None:
    outer = procedure("bench", use("wash", parts="$these", agent="spirit", tool="brush"), shared=True, takes=("these",))
    found = program(WASH, outer, procedure("main", use("bench", these=["nut", "disc"])))
    assert found.acts[0].step.cleans == {"nut": "spirit", "disc": "spirit"}
    assert found.acts[0].anchor == "bench--wash--bath"


def test_a_missing_word_and_a_strange_one_are_told() -> None:
    found = program(WASH, procedure("main", use("wash", parts="nut", agnt="spirit", tool="brush")))
    missing, extra = found.messages
    assert (missing.code, extra.code) == ("missing-word", "extra-word")
    assert "'agent'" in missing.what
    assert extra.right == "did you mean 'agent'?"


def test_a_word_that_the_run_does_not_take_is_told() -> None:
    found = program(procedure("main", step("Wash.", cleans={"$part": "spirit"}), takes=("parts",), shared=True))
    assert codes(found) == ["unknown-word"]
    assert found.messages[0].right == "did you mean '$parts'?"


def test_a_run_used_twice_takes_the_ids_of_its_uses() -> None:
    run = procedure("dry", step("Dry it.", id="air"), shared=True)
    plain = program(run, procedure("main", use("dry"), use("dry")))
    assert [act.anchor for act in plain.acts] == ["dry--air", "dry--air--2"]
    assert codes(plain) == ["use-needs-id"]
    named = program(run, procedure("main", use("dry"), use("dry", id="again")))
    assert [act.anchor for act in named.acts] == ["dry--air", "again--air"]
    assert named.messages == ()


def test_use_and_the_procedure_itself_keep_their_conditions() -> None:
    run = procedure("dry", step("Dry it.", id="air"), shared=True, when={"hook": "rotary"})
    found = program(run, procedure("main", use("dry", when={"lamp": "stalk"})))
    outer = found.items[0]
    assert isinstance(outer, Guarded)
    assert outer.when.condition == Is("lamp", frozenset(("stalk",)))
    inner = outer.items[0]
    assert isinstance(inner, Guarded)
    assert inner.when.condition == Is("hook", frozenset(("rotary",)))


def test_constructs_are_kept() -> None:
    nodes = (
        under({"lamp": "stalk"}, step("A.", id="a")),
        by("lamp", bracket_or_stalk=[step("B.", id="b")], none=[]),
        one_of(under({"lamp": "none"}, step("C.", id="c")), under({"not": {"lamp": "none"}}, step("D.", id="d"))),
        repeat({"pull": "right"}, step("E.", id="e"), otherwise=[step("F.", id="f")]),
        reach("spring", step("G.", id="g")),
    )
    found = program(procedure("main", *nodes))
    assert [type(item) for item in found.items] == [Guarded, Fork, Fork, Loop, Reached]
    fork, free, loop = found.items[1:4]
    assert isinstance(fork, Fork) and isinstance(free, Fork) and isinstance(loop, Loop)
    assert [arm.states for arm in fork.arms] == [("bracket", "stalk"), ("none",)]
    assert fork.arms[0].when.condition == Is("lamp", frozenset(("bracket", "stalk")))
    assert free.question == ""
    assert loop.condition == Is("pull", frozenset(("right",)))
    assert [act.local for act in found.acts] == list("abcdefg")


STRIP = procedure(
    "strip",
    step("Undo both and lift it off.", id="face-off", removes="face-plate"),
    step("Scribe a line.", id="scribed", marks="throw"),
    under({"lamp": "stalk"}, step("Loosen it.", id="slack", loosens=["pinch", "set-screw"])),
    by("winder", latch=[step("Unhook.", id="latch-off", removes="latch"), step("Lift.", removes="frame")], none=[]),
    step(
        "Take them off.",
        id="discs",
        removes=["spring", "disc"],
        back="Short leg first.",
        why="It flies.",
        supplies="rag",
    ),
)


def test_a_mirror_goes_backwards_and_does_the_contrary() -> None:
    found = program(STRIP, procedure("main", mirror("strip")))
    discs, fork, guarded, face = found.items
    assert isinstance(discs, Act) and isinstance(fork, Fork) and isinstance(guarded, Guarded) and isinstance(face, Act)
    assert discs.step.fits == ("disc", "spring")
    assert discs.step.removes == ()
    assert discs.do is not None
    assert discs.do.fixed is not None and discs.do.fixed.raw == "Short leg first."
    assert (discs.step.why, discs.step.supplies) == (None, ())
    assert [act.step.fits for act in found.acts] == [
        ("disc", "spring"),
        ("frame",),
        ("latch",),
        (),
        ("face-plate",),
    ]
    assert found.acts[3].step.tightens == ("set-screw", "pinch")
    assert face.do is None
    assert face.anchor == "strip--face-off--back"
    assert all(act.mirrored for act in found.acts)


def test_a_mirror_leaves_out_takes_only_and_puts_in() -> None:
    again = step("Set it.", id="throw-set", sets="throw")
    found = program(
        STRIP,
        procedure(
            "main", mirror("strip", without="face-off", after={"discs": [again]}), mirror("strip", only="face-off")
        ),
    )
    assert [act.local for act in found.acts] == [
        "discs",
        "throw-set",
        "removes-frame",
        "latch-off",
        "slack",
        "face-off",
    ]
    assert found.acts[1].anchor == "throw-set"
    assert not found.acts[1].mirrored


def test_a_mirror_of_an_unknown_step_is_told() -> None:
    found = program(STRIP, procedure("main", mirror("strip", without="face-of")))
    assert codes(found) == ["unknown-step"]
    assert found.messages[0].right == "did you mean 'face-off'?"


def test_repeats_and_ensured_and_reached_steps_are_not_mirrored() -> None:
    cover = procedure("cover", step("Lift it off.", removes="cover"))
    main = procedure(
        "strip-2",
        ensure("cover"),
        repeat({"pull": "right"}, step("Off.", id="r", removes="a")),
        reach("spring", step("Off.", id="s", removes="b")),
        step("Off.", id="t", removes="c"),
    )
    found = program(cover, main, procedure("main", mirror("strip-2")))
    assert [act.local for act in found.acts] == ["t"]


def test_words_alone_cannot_be_mirrored_in_silence() -> None:
    strip = procedure("strip-3", step("Put a cloth under it.", id="cloth"), step("Off.", removes="c"))
    found = program(strip, procedure("main", mirror("strip-3")))
    assert [act.local for act in found.acts] == ["removes-c"]
    assert codes(found) == ["mirror-without-words"]


def test_a_mirror_can_leave_its_screws_loose_and_lifts_what_was_lifted() -> None:
    strip = procedure(
        "strip-4",
        step("Off.", id="a", removes="motor", undoes="bolt", leaves_back="loose", lifts="motor", people=2),
    )
    (act,) = program(strip, procedure("main", mirror("strip-4"))).acts
    assert (act.step.fits, act.step.tightens, act.step.leaves) == (("motor",), (), "loose")
    assert (act.step.lifts, act.step.people) == (("motor",), 2)


def test_ensured_steps_bear_a_mark() -> None:
    cover = procedure("cover", step("Lift it off.", removes="cover"))
    found = program(cover, procedure("main", ensure("cover"), step("Look.", finds="wick")))
    assert [act.unless_apart for act in found.acts] == [True, False]


@pytest.mark.parametrize("ring", [use, ensure, mirror])
def test_a_circle_is_told_and_ends(ring: type) -> None:
    found = program(procedure("main", ring("other")), procedure("other", ring("main"), step("Off.", removes="a")))
    assert "cycle" in codes(found)
    assert "main -> other -> main" in next(m.what for m in found.messages if m.code == "cycle")


def test_equal_ids_ask_for_an_id() -> None:
    twice = (step("Undo it.", removes="lamp"), step("Undo it again.", removes="lamp"))
    assert codes(program(procedure("main", *twice))) == ["step-needs-id"]
    named = (step("Undo it.", id="a", removes="lamp"), step("Undo it again.", id="a", removes="lamp"))
    assert codes(program(procedure("main", *named))) == ["duplicate-step-id"]


def test_a_mirrored_step_knows_what_goes_on_later() -> None:
    strip = procedure("strip-5", step("A.", removes="lamp"), step("B.", removes="end-cover"))
    first, second = program(strip, procedure("main", mirror("strip-5"))).acts
    assert first.fits_later == frozenset(("lamp",))
    assert second.fits_later == frozenset()


def test_alternatives_do_not_know_of_one_another() -> None:
    strip = procedure("strip-6", by("lamp", a=[step("A.", removes="x")], b=[step("B.", removes="y")]))
    acts = program(strip, procedure("main", mirror("strip-6"))).acts
    assert [act.fits_later for act in acts] == [frozenset(), frozenset()]


def test_a_job_is_its_procedures_written_out() -> None:
    library = shop(
        procedures=[procedure("a", step("A.", id="a")), procedure("b", step("B.", id="b"))], jobs=[job("all", "a", "b")]
    )
    assert [found.procedure for found in expand_job(library, "all")] == ["a", "b"]


def test_expanding_twice_gives_the_very_same() -> None:
    library: Library = shop(procedures=[procedure("a", step("A.", id="a"))])
    assert expand(library, "a") is expand(library, "a")
    assert expand(library, "a").condition == ALWAYS


PARTS = [f"p{i}" for i in range(9)]


@given(some.lists(some.sampled_from(PARTS), unique=True, min_size=1), some.data())
def test_a_mirror_of_a_mirror_takes_the_same_parts_off_again(parts: list[str], data: some.DataObject) -> None:
    """Also in runs of several, in alternatives and under conditions."""
    nodes: list[Node] = []
    while parts:
        size = data.draw(some.integers(1, len(parts)))
        off = step("Off.", id=f"off-{parts[0]}", removes=parts[:size])
        wrapped = (off, under({"lamp": "x"}, off), by("lamp", x=[off], y=[]))
        nodes.append(data.draw(some.sampled_from(wrapped)))
        parts = parts[size:]
    library = shop(
        procedures=[
            procedure("strip", *nodes),
            procedure("refit", mirror("strip")),
            procedure("again", mirror("refit")),
        ]
    )
    strip, refit, again = (expand(library, name).acts for name in ("strip", "refit", "again"))
    assert [act.step for act in again] == [act.step for act in strip]
    assert [act.step.fits for act in refit] == [tuple(reversed(act.step.removes)) for act in reversed(strip)]
    assert not any(act.step.removes for act in refit)
