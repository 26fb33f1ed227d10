"""Levels, acceptances, joining by cause, what stops publishing, and the forms in which it is told."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import permutations
from pathlib import Path

import pytest
from examples import report_of

from handwheel.checks.bench import Bench
from handwheel.checks.finding import Finding
from handwheel.checks.page import RulePage
from handwheel.checks.registry import all_rules
from handwheel.checks.rule import Rule
from handwheel.checks.runner import joined, judge, run
from handwheel.checks.telling import as_message, document, summary, with_findings
from handwheel.cli.main import FINE, STOPPED, main
from handwheel.reading.messages import Messages
from handwheel.reading.reporters import as_annotations, as_text
from handwheel.records.library import Library
from handwheel.records.places import Place

LONG = "Look at the lamp. Look at its lead. Look at the plug. Look at the shade."
STEP = f"""
procedures:
  lamp-look:
    title: Look at the lamp
    steps: [{{id: lamp-seen, do: {LONG}}}]
"""
HOLE = """
procedures:
  lamp-care:
    title: Look after the lamp
    steps: [{one_of: [{when: {lamp: bracket}, steps: [{do: Wipe the bracket.}]}]}]
"""


def found(line: int = 1, what: str = "wrong", cause: str = "", rule: str = "odd") -> Finding:
    return Finding(place=Place("f.yaml", line), subject="parts/lamp", what=what, cause=cause, rule=rule, level="note")


def shop(levels: str) -> str:
    return f"shops: {{bench: {{name: Bench, levels: {levels}}}}}\n"


@pytest.mark.parametrize("level", ["error", "warning", "note"])
def test_the_shop_sets_the_level(level: str) -> None:
    report = report_of(STEP + shop(f"{{several-ticks: {level}}}"))
    assert [(each.rule, each.level) for each in report.findings] == [("several-ticks", level)]


def test_a_rule_that_is_off_is_not_run_and_is_named() -> None:
    report = report_of(STEP + shop("{several-ticks: 'off'}"))
    assert (report.findings, report.off) == ((), ("several-ticks",))
    assert "several-ticks" not in report.judged


def test_what_stops_publishing_can_neither_be_lowered_nor_accepted() -> None:
    accepted = "accepted: {mine: {rule: alternatives-not-one, of: lamp-care, why: So be it.}}\n"
    report = report_of(HOLE + shop("{alternatives-not-one: 'off'}") + accepted)
    assert [each.rule for each in report.stops] == ["alternatives-not-one"]
    assert [each.level for each in report.stops] == ["error"]
    assert {"level-of-nothing", "accepted-for-nothing"} < set(report.by_rule)


def test_nothing_else_stops_publishing() -> None:
    report = report_of(STEP + shop("{several-ticks: error}"))
    assert report.counts == {"error": 1}
    assert report.stops == ()


@pytest.mark.parametrize("of", ["lamp-look/lamp-seen"])
def test_an_accepted_finding_is_kept_with_its_reason(of: str) -> None:
    report = report_of(STEP + f"accepted: {{mine: {{rule: several-ticks, of: {of}, why: One look.}}}}\n")
    assert report.findings == ()
    assert [(each.finding.rule, each.record.why.raw) for each in report.accepted] == [("several-ticks", "One look.")]


def test_a_record_is_accepted_by_its_id_alone_and_a_step_is_not() -> None:
    lens = "tools: {lens: {name: lens}}\naccepted: {mine: {rule: unused, of: lens, why: It is bought for next year.}}\n"
    assert report_of(lens).findings == ()
    step = STEP + "accepted: {mine: {rule: several-ticks, of: lamp-seen, why: One look.}}\n"
    assert set(report_of(step).by_rule) == {"several-ticks", "accepted-for-nothing"}


def test_an_acceptance_of_another_rule_silences_nothing() -> None:
    report = report_of(STEP + "accepted: {mine: {rule: long-sentence, of: lamp-look/lamp-seen, why: No.}}\n")
    assert set(report.by_rule) == {"several-ticks", "accepted-for-nothing"}
    assert report.accepted == ()


def test_findings_of_one_cause_are_one_at_the_first_place() -> None:
    one, two, three = found(5, "a", "x"), found(3, "b", "x"), found(4, "c", "y")
    first, other = joined([one, two, three])
    assert (first.place.line, first.sentence) == (3, "b (1 more of the same cause)")
    assert first.related == ((Place("f.yaml", 5), "a"),)
    assert other == three


def test_findings_without_a_cause_and_of_other_rules_stay_apart() -> None:
    assert len(joined([found(1), found(2), found(3, cause="x"), found(4, cause="x", rule="other")])) == 4


def test_the_order_does_not_hang_on_the_order_found() -> None:
    three = [found(2, "a", "x"), found(1, "b", "x"), found(1, "c")]
    assert len({joined(each) for each in permutations([*three, three[0]])}) == 1


def test_a_rule_that_needs_a_fact_nobody_has_is_named_as_not_judged() -> None:
    def find(weather: str) -> Iterator[Finding]:
        yield found(what=weather)

    rule = Rule("odd", "note", False, False, ("weather",), find, RulePage("odd", "Odd"))
    assert judge(Bench(Library()), [rule]).unjudged == ("odd",)
    assert [each.what for each in run(Library(), [rule], weather="rain").findings] == ["rain"]


def test_a_fact_is_worked_out_once() -> None:
    bench = Bench(Library())
    assert bench.fact("steps") is bench.fact("steps")


def test_rules_change_nothing() -> None:
    library = Library()
    for _ in range(2):
        assert run(library).findings == ()
    assert library.kinds == {}


def test_words_only_steps_are_counted_as_not_proven() -> None:
    report = report_of(STEP)
    assert (report.whole.steps, report.whole.told) == (1, 0)
    assert "words only" in summary(report)


def test_a_finding_is_told_like_a_message_of_the_reader() -> None:
    finding = Finding(
        place=Place("f.yaml", 2, 3), subject="parts/lamp", what="it hangs", right="a screw", machines="lamp stalk",
        chain=((Place("f.yaml", 1), "undone here"),), rule="odd", level="note",
    )  # fmt: skip
    messages = Messages()
    messages.remember("f.yaml", "parts:\n  lamp: {}\n")
    messages.put(as_message(finding))
    assert as_text(messages) == (
        "f.yaml:2:3: note: it hangs, on lamp stalk [odd]\n"
        "  2 |   lamp: {}\n"
        "    |   ^~~~\n"
        "  right: a screw\n"
        "  see f.yaml:1:1: undone here\n"
        "  1 | parts:\n"
        "    | ^~~~~\n"
        "\n"
        "1 note\n"
    )
    assert as_annotations(messages).startswith("::notice file=f.yaml,line=2,col=3,title=odd::it hangs, on lamp stalk")


def test_the_document_holds_all_that_the_report_knows() -> None:
    report = report_of(
        STEP + "tools: {lens: {name: lens}}\n" + "accepted: {a: {rule: unused, of: lens, why: Later.}}\n"
    )
    told = json.loads(document(Messages(), report))
    assert [each["rule"] for each in told["findings"]] == ["several-ticks"]
    assert [(each["rule"], each["why"]) for each in told["accepted"]] == [("unused", "Later.")]
    assert told["proven"] == {"lamp-look": {"steps": 1, "told": 0}}
    assert (told["stops"], told["levels"], told["messages"]) == (0, {"notes": 1}, [])
    assert set(told["rules"]["judged"]) == {rule.id for rule in all_rules()}


def test_messages_of_the_reader_stay_among_the_findings() -> None:
    messages = Messages()
    messages.add("odd", Place("f.yaml"), "odd", level="warning")
    assert len(with_findings(messages, report_of(STEP))) == 2


def test_the_command_ends_with_one_where_something_stops_publishing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sound = Path(__file__).with_name("sound.yaml").read_text("utf-8")
    for name, text in (("base", sound), ("fine", STEP), ("stopped", HOLE)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "shop.yaml").write_text(text, "utf-8")
    library = ["--library", str(tmp_path / "base")]
    assert main(["check", str(tmp_path / "fine"), *library]) == FINE
    assert "nothing stops publishing" in capsys.readouterr().err
    assert main(["check", str(tmp_path / "stopped"), *library]) == STOPPED
    assert "1 finding stops publishing" in capsys.readouterr().err
    assert main(["check", str(tmp_path / "stopped"), *library, "--format", "json"]) == STOPPED
    assert json.loads(capsys.readouterr().out)["stops"] == 1
