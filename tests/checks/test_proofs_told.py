"""What is said to be proven: nothing, where a simulated run found something on the machines of that family."""

from __future__ import annotations

import json

from examples import report_of

from handwheel.checks.registry import rules_by_id
from handwheel.checks.report import Extent, Report
from handwheel.checks.telling import document, summary
from handwheel.reading.messages import Messages

FORGOTTEN = rules_by_id()["left-off"].page.failing
SOUND = rules_by_id()["left-off"].page.passing
ACCEPTED = "accepted: {mine: {rule: left-off, of: procedures/told, why: It goes to the plater.}}\n"


def lines(report: Report) -> list[str]:
    return [line for line in summary(report).splitlines() if line.startswith("Plover")]


def test_a_family_without_findings_of_the_runs_is_proven() -> None:
    report = report_of(SOUND)
    assert lines(report) == [f"Plover: proven on {report.extents[0].machines} machines"]


def test_a_finding_of_a_run_leaves_its_family_unproven() -> None:
    report = report_of(FORGOTTEN)
    assert lines(report) == [f"Plover: run on {report.extents[0].machines} machines, and not proven: 1 finding"]
    (machines,) = json.loads(document(Messages(), report))["machines"]
    assert (machines["findings"], machines["accepted"]) == (1, 0)


def test_a_finding_of_words_is_none_of_the_runs() -> None:
    long = "procedures: {look: {title: Look, steps: [{do: Look at the lamp. Look at it. Look at it. Look at it.}]}}\n"
    report = report_of(long)
    assert "several-ticks" in report.by_rule
    assert "not proven" not in lines(report)[0] and report.standing("Plover") == (0, 0)


def test_what_is_accepted_is_said_beside_the_proof() -> None:
    subject = next(each.subject for each in report_of(FORGOTTEN).findings if each.rule == "left-off")
    report = report_of(FORGOTTEN + ACCEPTED.replace("procedures/told", subject))
    assert "left-off" not in report.by_rule
    assert lines(report)[0].endswith(" machines, but for 1 accepted finding")


def test_a_finding_of_one_family_leaves_the_other_proven() -> None:
    other = (
        "families: {heron: {name: Heron}}\n"
        "variants: {heron-first: {name: Heron, family: heron, made: {from: 1950}, features: {foot: snap}}}\n"
    )
    plover = FORGOTTEN.replace("start: in-order,", "start: in-order, when: {family: plover},")
    work = "  heron-work: {title: Heron, start: in-order, when: {family: heron}, procedures: [told]}\n"
    report = report_of(other + plover + work)
    assert {line.split()[1] for line in lines(report)} == {"run"}
    told = [line for line in summary(report).splitlines() if line.startswith("Heron")]
    assert told and " proven on " in told[0]


def test_what_the_shop_turned_off_is_named() -> None:
    report = report_of(FORGOTTEN + "shops: {bench: {name: Bench, levels: {left-off: 'off'}}}\n")
    assert summary(report).splitlines()[0].endswith("; turned off: left-off")


def test_in_part_and_in_areas() -> None:
    assert Extent("Dipper", 4_000, 7, whole=False).told(2) == (
        "in part run on 4,000 machines, in 7 areas, and not proven: 2 findings"
    )


def test_of_words_alone_nothing_is_proven() -> None:
    """Nothing was simulated, and nothing is said to hold."""
    words = "procedures: {look: {title: Look, steps: [{do: Look at the lamp.}]}}\n"
    report = report_of(words)
    assert report.whole.steps and not report.whole.told
    assert lines(report) == ["Plover: not simulated, words only"]
    assert Extent("Plover", 1).words == "proven on 1 machine"
