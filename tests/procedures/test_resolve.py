from __future__ import annotations

from handwheel.machines.conditions import Is
from handwheel.machines.machine import Known
from handwheel.machines.space import Space
from handwheel.machines.truth import Always, Contradiction, Depends, Never
from handwheel.procedures.resolve import AsBuilt, Machine, Resolver, resolve
from handwheel.procedures.resolved import Alternatives, Group, Reaching, Repeated, Resolved, ResolvedStep
from handwheel.records.families import family_of
from handwheel.records.library import Library
from handwheel.records.step_records import Node
from shopkit import (
    any_record,
    by,
    choice,
    feature,
    finding,
    job,
    part,
    procedure,
    reach,
    reading,
    repeat,
    shop,
    step,
    under,
    use,
    variant,
    varies,
)


def library(*nodes: Node, **more: object) -> Library:
    given: dict[str, object] = {"procedures": [procedure("main", *nodes)]} | more
    return shop(
        any_record("families", "other", name="Other"),
        any_record("families", "dipper", name="Dipper"),
        variant("stranger", family="other", lamp="stalk"),
        features=[
            feature("lamp", "bracket", "stalk", "none", swapped="often"),
            feature("finish", "lacquer", "enamel"),
            feature("bulb", "filament", "led", swapped="often", carried_by="bulb", changes_by_work=True),
        ],
        variants=[
            variant("second", lamp="bracket", finish="lacquer", bulb="filament"),
            variant("fourth", lamp=("stalk", "none"), finish="enamel", bulb="filament"),
        ],
        findings=[finding("wick", "soft", "hard", good="soft", of="wick")],
        readings=[reading("pull", "slack", "right", cuts=["0.6"], good="right", ask="Pull of the thread")],
        choices=[choice("led-lamp", offer="Fit an LED lamp", means={"bulb": "led"})],
        parts=[part("head", root=True), part("wick"), part("bulb"), part("lamp")],
        **given,  # type: ignore[arg-type]
    )


def resolved(machine: Machine, *nodes: Node, **more: object) -> Resolved:
    return Resolver(library(*nodes, **more), "dipper").resolve("main", machine)


def anchors(found: Resolved) -> list[str]:
    return [each.anchor for each in found.steps]


SECOND, FOURTH = AsBuilt("second"), AsBuilt("fourth")
BY_LAMP = by("lamp", bracket=[step("B.", id="b")], stalk=[step("S.", id="s")], none=[])


def test_a_named_variant_gets_its_own_steps_only() -> None:
    found = resolved(SECOND, step("A.", id="a"), BY_LAMP)
    assert anchors(found) == ["a", "b"]
    assert all(isinstance(each, ResolvedStep) and each.verdict.settled for each in found.items)


def test_a_variant_with_two_original_forms_leaves_the_look_open() -> None:
    (fork,) = resolved(FOURTH, BY_LAMP).items
    assert isinstance(fork, Alternatives)
    assert [arm.states for arm in fork.arms] == [("stalk",), ("none",)]
    assert [arm.verdict.truth for arm in fork.arms] == [Depends(("lamp",))] * 2
    assert fork.arms[1].items == ()


def test_as_found_counts_what_is_on_it_not_what_it_was_built_with() -> None:
    swapped = Known(frozenset(("second",)), {"lamp": frozenset(("stalk",))})
    assert anchors(resolved(swapped, BY_LAMP)) == ["s"]


def test_a_look_may_tell_more_than_its_own_feature() -> None:
    """The finish is never swapped, so that it tells the variant."""
    node = step("A.", id="a", when={"variant": "second"})
    enamel = Known(None, {"finish": frozenset(("enamel",))})
    assert anchors(resolved(enamel, node)) == []
    (open_,) = resolved(Known(), node).steps
    assert open_.verdict.truth == Depends(("finish",))


def test_what_no_machine_shows_is_said() -> None:
    clash = Known(frozenset(("second",)), {"finish": frozenset(("enamel",))})
    found = resolved(clash, step("A.", id="a"))
    assert found.items == ()
    assert isinstance(found.verdict.truth, Contradiction)
    assert set(found.verdict.truth.looks) == {"finish", "variant"}


def test_a_machine_that_does_not_have_the_procedure() -> None:
    only = [procedure("main", step("A.", id="a"), when={"lamp": "bracket"})]
    assert resolved(AsBuilt("fourth"), procedures=only).verdict.truth == Never()
    open_ = resolved(Known(), procedures=only)
    assert open_.verdict.truth == Depends(("lamp",))
    assert open_.steps[0].verdict.truth == Always()


def test_a_variant_of_another_family_is_simply_never_here() -> None:
    assert anchors(resolved(Known(), step("A.", id="a", when={"variant": "stranger"}))) == []
    assert anchors(resolved(SECOND, step("A.", id="a", when={"variant": ["stranger", "second"]}))) == ["a"]


def test_findings_are_kept_as_alternatives_in_words() -> None:
    nodes = (step("Press.", finds="wick"), by("wick", soft=[], hard=[step("Renew.", id="new")]))
    _, fork = resolved(SECOND, *nodes).items
    assert isinstance(fork, Alternatives)
    assert fork.kind == "findings"
    assert [arm.words for arm in fork.arms] == ["the wick is soft", "the wick is hard"]
    assert fork.arms[1].verdict.asked == Is("wick", frozenset(("hard",)))
    assert isinstance(fork.arms[1].verdict.truth, Always)


def test_readings_and_choices_have_words_too() -> None:
    (pull, led) = resolved(
        SECOND,
        by("pull", slack=[step("Turn.", id="t")], right=[]),
        by("led-lamp", accepted=[step("Fit.", id="f")], declined=[]),
    ).items
    assert isinstance(pull, Alternatives) and isinstance(led, Alternatives)
    assert pull.arms[0].words == "the pull of the thread is slack"
    assert led.arms[0].words == "“Fit an LED lamp” was accepted"


def test_inside_an_alternative_its_answer_is_known_until_it_is_asked_again() -> None:
    inner = by("wick", soft=[step("S.", id="s")], hard=[step("H.", id="h")])
    hard = [inner, step("Press again.", id="again", finds="wick"), by("wick", soft=[step("S.", id="s2")], hard=[])]
    (fork,) = resolved(SECOND, by("wick", soft=[], hard=hard)).items
    assert isinstance(fork, Alternatives)
    first, again, last = fork.arms[1].items
    assert isinstance(first, ResolvedStep) and first.anchor == "h"
    assert isinstance(again, ResolvedStep)
    assert isinstance(last, Alternatives)


def test_looks_and_answers_together() -> None:
    (group,) = resolved(Known(), under([{"lamp": "stalk"}, {"wick": "hard"}], step("A.", id="a"))).items
    assert isinstance(group, Group)
    assert isinstance(group.verdict.truth, Always)  # on any machine, if the wick is hard
    assert group.words == "lamp: stalk or the wick is hard"
    (known,) = resolved(SECOND, under([{"lamp": "stalk"}, {"wick": "hard"}], step("A.", id="a"))).items
    assert isinstance(known, Group)
    assert known.verdict.asked == Is("wick", frozenset(("hard",)))


def test_repeats_and_reached_parts_are_kept() -> None:
    loop, reached = resolved(
        SECOND,
        repeat({"pull": "right"}, step("Draw.", measures="pull"), at_most=5, otherwise=[step("Stop.", id="stop")]),
        reach("wick", step("Renew.", id="new")),
    ).items
    assert isinstance(loop, Repeated) and isinstance(reached, Reaching)
    assert (loop.until, loop.at_most) == ("the pull of the thread is right", 5)
    assert len(loop.items) == len(loop.otherwise) == 1
    assert reached.parts == ("wick",)


def test_texts_that_vary_are_one_or_stand_with_their_looks() -> None:
    node = step(varies(({"lamp": "bracket"}, "Undo."), ({"lamp": ["stalk", "none"]}, "Pull.")), id="a")
    (fixed,) = resolved(SECOND, node).steps
    assert len(fixed.do.options) == 1
    (open_,) = resolved(Known(), node).steps
    assert [option.verdict.truth for option in open_.do.options] == [Depends(("lamp",))] * 2


def test_equal_texts_are_one() -> None:
    same = varies(({"lamp": "bracket"}, "Undo."), ({"lamp": ["stalk", "none"]}, "Undo."))
    (found,) = resolved(Known(), step(same, id="a")).steps
    assert len(found.do.options) == 1
    assert found.do.options[0].verdict.settled


def test_why_a_step_is_here() -> None:
    maker = Resolver(library(step("A.", id="a"), BY_LAMP), "dipper")
    reasons = maker.reasons("main")
    assert reasons["a"] is None
    assert reasons["b"] is not None and reasons["s"] is not None
    assert (reasons["b"].words, reasons["b"].variants) == ("lamp: bracket", (("second", True),))
    assert reasons["s"].variants == (("fourth", False),)


def test_the_reason_leaves_out_what_a_step_asks() -> None:
    node = under({"wick": "hard"}, step("A.", id="a", when={"lamp": "bracket"}), step("B.", id="b"))
    reasons = Resolver(library(node), "dipper").reasons("main")
    assert reasons["a"] is not None and reasons["a"].words == "lamp: bracket"
    assert reasons["b"] is None


def test_siblings_stay_on_the_step_or_go_to_its_alternative() -> None:
    maker = Resolver(library(step("A.", id="a"), BY_LAMP, step("C.", id="c", when={"lamp": "bracket"})), "dipper")
    to = {anchor: maker.siblings("main", anchor)["fourth"] for anchor in ("a", "b", "c")}
    assert (to["a"].anchor, to["a"].same) == ("a", True)
    assert (to["b"].anchor, to["b"].same) == ("s", False)
    assert to["c"].anchor == "s"


def test_a_new_kind_is_seen_by_what_comes_after() -> None:
    fit = by("led-lamp", accepted=[step("Fit.", id="fit", renews={"bulb": "led"})], declined=[])
    after = step("Check.", id="check", when={"bulb": "led"})
    check = resolved(SECOND, fit, after).items[-1]
    assert isinstance(check, ResolvedStep)
    assert check.verdict.asked == Is("bulb", frozenset(("led",)))
    assert anchors(resolved(SECOND, after)) == []
    surely = resolved(SECOND, step("Fit.", id="fit", renews={"bulb": "led"}), after)
    assert surely.steps[1].verdict.settled


def test_a_new_kind_is_seen_by_later_procedures_of_a_job() -> None:
    procedures = [
        procedure("bench", step("Fit.", id="fit", renews={"bulb": "led"})),
        procedure("main", step("Check.", id="check", when={"bulb": "led"})),
    ]
    assert anchors(resolved(SECOND, procedures=procedures)) == []
    assert anchors(resolved(SECOND, procedures=procedures, jobs=[job("all", "bench", "main")])) == ["check"]
    assert anchors(resolved(SECOND, procedures=procedures, jobs=[job("all", "main", "bench")])) == []


def test_answers_given_settle_what_they_can() -> None:
    made = library(by("wick", soft=[], hard=[step("Renew.", id="new")]))
    assert anchors(resolve(made, "dipper", SECOND, "main", {"wick": "hard"})) == ["new"]
    assert anchors(resolve(made, "dipper", SECOND, "main", {"wick": "soft"})) == []


def test_a_shared_run_has_its_words_filled_in() -> None:
    run = procedure("wash", step("Brush <parts>.", cleans={"$parts": "spirit"}), shared=True, takes=("parts",))
    found = resolved(SECOND, procedures=[run, procedure("main", use("wash", parts=["wick", "lamp"]))])
    assert found.steps[0].act.step.cleans == {"wick": "spirit", "lamp": "spirit"}
    assert [
        getattr(piece, "id", piece.text if hasattr(piece, "text") else "")
        for piece in found.steps[0].do.options[0].value
    ] == [
        "Brush ",
        "wick",
        " and ",
        "lamp",
        ".",
    ]


def test_a_space_or_a_family_may_be_given() -> None:
    made = library(BY_LAMP)
    family = family_of(made, "dipper")
    for given in ("dipper", family, Space(family)):
        assert anchors(resolve(made, given, SECOND, "main")) == ["b"]


def test_equal_steps_are_the_very_same_value() -> None:
    """So that each distinct step is rendered once."""
    maker = Resolver(library(step("A.", id="a"), BY_LAMP), "dipper")
    second, fourth = maker.resolve("main", SECOND), maker.resolve("main", FOURTH)
    assert second.steps[0] is fourth.steps[0]
