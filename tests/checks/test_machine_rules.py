"""Finer points of the rules on machines, parts, screws and sources."""

from __future__ import annotations

import pytest
from examples import findings_of, report_of

from handwheel.checks.bench import Bench
from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.registry import rules_by_id
from handwheel.checks.runner import judge
from handwheel.machines.conditions import Is
from handwheel.records.library import Library
from shopkit import by, feature, finding, one_of, part, procedure, repeat, shop, step, under, use, variant


def found_in(rule: str, library: Library) -> tuple[Finding, ...]:
    return judge(Bench(library), [rules_by_id()[rule]]).findings


LAMP = (
    feature("lamp", "bracket", "stalk", "none", swapped="often", carried_by="lamp", missing=True),
    variant("first", lamp="bracket"),
    variant("second", lamp=("stalk", "none")),
    part("head", root=True),
    part("lamp", when={"lamp": ["bracket", "stalk"]}),
)


def test_a_part_that_may_be_missing_needs_a_case_or_a_condition() -> None:
    fork = by("lamp", bracket=[step("Look.")], stalk=[step("Feel.")], none=[])
    (found,) = found_in("alternatives-not-one", shop(*LAMP, procedure("care", fork)))
    assert (found.machines, found.subject) == ("lamp missing", "procedures/care")
    guarded = procedure("care", under({"lamp": ["bracket", "stalk", "none"]}, fork))
    assert found_in("alternatives-not-one", shop(*LAMP, guarded)) == ()


def test_alternatives_that_overlap_name_both_and_the_machines() -> None:
    both = one_of(
        under({"lamp": ["bracket", "stalk"]}, step("Look.")),
        under({"not": {"lamp": "bracket"}}, step("Feel.")),
    )
    (found,) = found_in("alternatives-not-one", shop(*LAMP, procedure("care", both)))
    assert found.machines == "lamp stalk"
    assert "two alternatives" in found.what


def test_a_fork_on_a_finding_is_judged_for_every_answer() -> None:
    wick = finding("wick", "soft", "hard", "gone", good="soft")
    some = one_of(under({"wick": "soft"}, step("Look.")), under({"wick": "hard"}, step("Feel.")))
    (found,) = found_in("alternatives-not-one", shop(*LAMP, wick, procedure("care", some)))
    assert found.machines == "wick: gone"
    everything = by("wick", soft=[], hard=[step("Feel.")], gone=[])
    assert found_in("alternatives-not-one", shop(*LAMP, wick, procedure("care", everything))) == ()


def test_a_fork_under_a_finding_is_judged_where_that_answer_holds() -> None:
    wick = finding("wick", "soft", "hard", good="soft")
    inner = one_of(under({"wick": "hard"}, step("Feel.")))
    assert (
        found_in("alternatives-not-one", shop(*LAMP, wick, procedure("care", by("wick", soft=[], hard=[inner])))) == ()
    )


def test_a_shared_run_is_judged_where_it_is_used() -> None:
    run = procedure("run", one_of(under({"lamp": "bracket"}, step("Look."))), shared=True)
    used = procedure("care", under({"lamp": "bracket"}, use("run")))
    assert found_in("alternatives-not-one", shop(*LAMP, run, used)) == ()
    bare = procedure("care", use("run"))
    assert len(found_in("alternatives-not-one", shop(*LAMP, run, bare))) == 1


def test_a_form_that_work_brings_needs_a_case() -> None:
    bulb = (
        feature("bulb", "filament", "led", swapped="never", carried_by="lamp-bulb", changes_by_work=True),
        variant("first", bulb="filament"),
        part("head", root=True),
        part("lamp-bulb"),
    )
    renew = procedure("new", step("Change it.", renews={"lamp-bulb": "led"}))
    some = procedure("care", one_of(under({"bulb": "filament"}, step("Look."))))
    assert [each.machines for each in found_in("alternatives-not-one", shop(*bulb, renew, some))] == ["bulb: led"]
    assert found_in("alternatives-not-one", shop(*bulb, some)) == ()


def test_words_for_all_machines_are_none() -> None:
    machines = Machines(shop(*LAMP))
    (space,) = machines.spaces(Is("lamp", frozenset(("bracket",))))
    assert machines.words(space, space.all) == ""
    assert machines.words(space, machines.where(space, Is("lamp", frozenset(("none",))))) == "lamp none"


def test_too_many_machines_are_said_and_not_passed_over() -> None:
    wide = [feature(f"f{n}", *"abcdefgh", swapped="often", carried_by=f"p{n}") for n in range(9)]
    forms = {f"f{n}": tuple("abcdefgh") for n in range(9)}
    every = one_of(*(under({f"f{n}": "a" for n in range(9)}, step("Look.")) for _ in range(1)))
    library = shop(*wide, variant("first", **forms), procedure("care", every))
    report = judge(Bench(library), [rules_by_id()[each] for each in ("alternatives-not-one", "machines-not-told")])
    assert [each.rule for each in report.stops] == ["machines-not-told"]
    assert "134,217,728" in report.stops[0].what


CIRCLE = """
parts:
  a: {{name: a, rests: true, behind: [b]}}
  b: {{name: b, {b}}}
  c: {{name: c, rests: true}}
fasteners:
  b-screw: {{name: b screw, holds: [b], behind: [{screw}]}}
"""


@pytest.mark.parametrize(
    ("b", "screw", "count"),
    [
        ("when: {lamp: bracket}", "a", 1),
        ("when: {lamp: bracket}", "c", 0),
        ("when: {lamp: bracket}, in: c", "a", 0),
        ("behind: [a]", "c", 1),
    ],
)
def test_circles_through_fasteners_and_carriers(b: str, screw: str, count: int) -> None:
    assert len(findings_of("circle-in-behind", CIRCLE.format(b=b, screw=screw))) == count


def test_parts_that_are_never_on_one_machine_make_no_circle() -> None:
    apart = CIRCLE.format(b="when: {lamp: bracket}", screw="a").replace(
        "name: a, rests", "name: a, when: {lamp: stalk}, rests"
    )
    assert findings_of("circle-in-behind", apart) == ()


def test_a_part_held_on_some_machines_only_names_the_others() -> None:
    example = (
        "parts: {rim: {name: rim}}\nfasteners: {rim-screw: {name: rim screw, holds: [rim], when: {lamp: bracket}}}\n"
    )
    (found,) = findings_of("held-by-nothing", example)
    assert found.machines == "lamp on a stalk or no lamp"


SCREW = """
parts: {{rim: {{name: rim}}}}
fasteners:
  rim-screw: {{name: rim screw, holds: [rim], {values}}}
"""


@pytest.mark.parametrize(
    ("values", "rule", "wrong"),
    [
        ("length: 10 mm, grip: 2 mm, hole_depth: 8 mm", "screw-too-long", False),
        ("length: 10.1 mm, grip: 2 mm, hole_depth: 8 mm", "screw-too-long", True),
        ("kind: set screw, length: 12 mm, hole_depth: 8 mm", "screw-too-long", False),
        ("length: 12 mm, hole_depth: 8 mm", "screw-too-long", False),
        ("thread: m4, length: 4.1 mm, grip: 2 mm, hole_depth: 8 mm", "screw-too-short", False),
        ("thread: m4, length: 4.0 mm, grip: 2 mm, hole_depth: 8 mm", "screw-too-short", True),
        ("thread: m4, length: 9 mm, grip: 2 mm, hole_depth: 2 mm", "screw-too-short", True),
        ("length: 4.0 mm, grip: 2 mm, hole_depth: 8 mm", "screw-too-short", False),
        ("slot_width: 0.9 mm, slot_length: 4 mm, blade: blade-0-8-4", "blade-misfits", False),
        ("slot_width: 0.8 mm, slot_length: 4 mm, blade: blade-0-8-4", "blade-misfits", True),
        ("slot_width: 1.2 mm, slot_length: 5 mm, blade: blade-1-0-5-5", "blade-misfits", True),
        ("slot_width: 0.5 mm, slot_length: 2 mm", "blade-misfits", True),
        ("slot_width: 9 mm, slot_length: 40 mm", "blade-misfits", True),
    ],
)
def test_screws_by_their_sizes(values: str, rule: str, wrong: bool) -> None:
    assert bool(findings_of(rule, SCREW.format(values=values))) == wrong


HEAD = "thread: m4, length: 8 mm, grip: 2 mm, hole_depth: 8 mm, slot_length: 7 mm, into: {into}, tighten: {torque}"


@pytest.mark.parametrize(
    ("torque", "into", "wrong"),
    [
        ("0.7 N m", "grey-iron", False),
        ("7 N m", "grey-iron", True),
        ("7 N m", "rubber", False),
        ("by hand", "steel", False),
    ],
)
def test_torques_are_judged_where_enough_is_known(torque: str, into: str, wrong: bool) -> None:
    found = findings_of("tightening-outside-window", SCREW.format(values=HEAD.format(torque=torque, into=into)))
    assert bool(found) == wrong


def test_a_torque_is_told_with_its_arithmetic() -> None:
    (found,) = findings_of(
        "tightening-outside-window", SCREW.format(values=HEAD.format(torque="7 N m", into="grey-iron"))
    )
    assert "the screw yields at" in found.what
    assert "0.9 x 240 MPa on 8.78 mm^2" in found.what  # stress area of M4: ISO 898-1, table of stress areas


def test_the_window_follows_what_the_machine_is_made_of() -> None:
    soft = SCREW.format(values=HEAD.format(torque="0.7 N m", into="steel").replace(
        "tighten: 0.7 N m", "tighten: [{when: {lamp: bracket}, is: 7 N m}, {when: {not: {lamp: bracket}}, is: 0.7 N m}]"
    ))  # fmt: skip
    (found,) = findings_of("tightening-outside-window", soft)
    assert found.machines == "lamp on a bracket"


@pytest.mark.parametrize(
    ("thread", "wrong"),
    [
        ("form: 60 degree, diameter: 9/64 in, tpi: 40", False),
        ("form: 47.5 degree, diameter: 3.6 mm, pitch: 0.66 mm", False),
        ("form: 55 degree, diameter: 3.6 mm, pitch: 0.66 mm", True),
        ("form: 60 degree, diameter: 4 mm, pitch: 0.77 mm", True),
    ],
)
def test_threads_and_their_series(thread: str, wrong: bool) -> None:
    example = f"threads: {{odd: {{name: odd, {thread}, source: memory}}}}\n"
    assert bool(findings_of("thread-in-no-series", example)) == wrong


@pytest.mark.parametrize(
    ("agent", "wrong"),
    [
        ("harms: {steel: fine}, sources: [practice]", True),
        ("harms: {steel: fine}, sources: [memory]", True),
        ("harms: {steel: never}, sources: [memory]", False),
        ("harms: {steel: fine}, sources: [tips, practice]", False),
        ("harms: {steel: fine}, sources: [tips, {source: practice, at: steel and rubber}]", True),
        ("harms: {steel: test first, rubber: fine}, sources: [tips, {source: practice, at: steel}]", False),
        ("harms: {steel: fine}", False),
    ],
)
def test_what_memory_may_say_of_an_agent(agent: str, wrong: bool) -> None:
    assert bool(findings_of("memory-permits", f"agents: {{soap: {{name: soap, {agent}}}}}\n")) == wrong


@pytest.mark.parametrize(
    ("condition", "wrong"),
    [
        ("{not: {lamp: bracket, casting: iron}}", True),
        ("{not: [{lamp: bracket}, {casting: iron}]}", False),
        ("{not: {lamp: [bracket, stalk]}}", False),
        ("{not: {made: {from: 1931, to: 1936}}}", False),
    ],
)
def test_the_form_of_a_negation(condition: str, wrong: bool) -> None:
    example = f"procedures: {{p: {{title: P, steps: [{{do: Look., when: {condition}}}]}}}}\n"
    assert bool(findings_of("not-both", example)) == wrong


def test_what_a_library_offers_need_not_be_used() -> None:
    assert "torch" not in str(report_of("terms: {bed: {name: bed, means: The flat part.}}\n").findings)


def test_a_finding_that_is_taken_again_is_not_taken_for_a_contradiction() -> None:
    works = finding("works", "free", "stiff", good="free")
    again = repeat({"works": "free"}, step("Rock it.", finds="works"), by("works", free=[step("Wipe it.")], stiff=[]))
    care = procedure("care", by("works", free=[], stiff=[again]))
    assert found_in("never-on-any-machine", shop(*LAMP, works, care)) == ()
