"""One mistake at a time planted in a small whole shop, for the rules that look at simulated runs."""

from __future__ import annotations

import inspect
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from handwheel.checks.bench import Bench
from handwheel.checks.registry import all_rules, rules_by_id
from handwheel.checks.report import Report
from handwheel.checks.runner import judge
from handwheel.reading.load import load

SHOP = Path(__file__).parents[1] / "mutants" / "shop" / "shop.yaml"
"""A small shop with every effect, sound as it is."""
PLANTED: list[dict[str, Any]] = yaml.safe_load(Path(__file__).with_name("planted_runs.yaml").read_text("utf-8"))
IN_RUNS = tuple(rule for rule in all_rules() if "runs" in rule.needs)
RULES = (*IN_RUNS, rules_by_id()["tested-in-passing"])
NOT_HERE = {
    "never-free": "the planner finds a way to each part; held by the agreement with the simulator of one machine",
    "impossible-position": "the works of the small shop are moved by hand; held by the same agreement",
    "several-alternatives": "judged as none is; held by the mistakes planted in the simulator's own shop",
}


def planted(mistake: dict[str, Any], folder: Path) -> Path:
    text = SHOP.read_text("utf-8")
    for old, new in [(mistake["old"], mistake["new"]), *mistake.get("and", [])]:
        assert old in text, f"not in the shop any more: {old}"
        text = text.replace(old, new, 1)
    (folder / "shop.yaml").write_text(text, "utf-8")
    return folder


def judged(folder: Path) -> tuple[Report, set[str]]:
    bench = Bench(load([folder]))
    report = judge(bench, RULES)
    return report, {each.code for run in bench.runs.all for each in run.trace.violations}


def test_the_shop_has_no_finding_before_a_mistake_is_planted() -> None:
    assert judged(SHOP.parent)[0].findings == ()


def numbered() -> Iterator[Any]:
    """Each mistake with an id that is the same in every process; of a rule's, the first is planted each time."""
    seen: Counter[str] = Counter()
    for each in PLANTED:
        seen[each["rule"]] += 1
        number = seen[each["rule"]]
        yield pytest.param(each, id=f"{each['rule']}-{number}", marks=[pytest.mark.long] if number > 1 else [])


@pytest.mark.parametrize("mistake", tuple(numbered()))
def test_one_mistake_is_told_by_its_rule_and_by_those_named_beside_it(mistake: dict[str, Any], tmp_path: Path) -> None:
    report, met = judged(planted(mistake, tmp_path))
    assert (mistake["rule"], mistake["of"]) in {(each.rule, each.subject) for each in report.findings}
    assert set(report.by_rule) == {mistake["rule"], *mistake.get("also", ())}
    assert report.by_rule[mistake["rule"]] == 1
    assert mistake.get("code") in (None, *met)


def test_every_rule_on_runs_has_a_mistake() -> None:
    assert {rule.id for rule in IN_RUNS} - {each["rule"] for each in PLANTED} == set()


def test_every_way_of_going_wrong_that_rules_ask_for_has_a_mistake() -> None:
    asked = {
        code
        for rule in IN_RUNS
        for names in re.findall(r"runs\.told\(([^)]*)\)", Path(inspect.getfile(rule.find)).read_text("utf-8"))
        for code in re.findall(r'"([a-z-]+)"', names)
    }
    assert len(asked) > 40
    assert asked - {each.get("code") for each in PLANTED} == set(NOT_HERE)


def test_one_forgotten_refit_is_one_message(tmp_path: Path) -> None:
    """Off in two jobs, an aim missed, a setting lost: told once, the others beside it."""
    line = next(each for each in SHOP.read_text("utf-8").splitlines() if "throw-set" in each)
    report, _ = judged(planted({"old": line + "\n", "new": ""}, tmp_path))
    (finding,) = report.findings
    assert (finding.rule, finding.subject, finding.others) == ("not-set-again", "jobs/overhaul", 4)
    assert finding.sentence.startswith(
        "'throw of the spring' is lost and not set again, in jobs 'overhaul' and 'restore'"
    )
    assert [note for _, note in finding.chain] == ["throw lost by tension-off/unit-screw-loose, through 'unit screw'"]
    beside = {note.rpartition("[")[2].rstrip("]") for _, note in finding.related}
    assert beside == {"aim-missed", "left-loose", "tested-too-early"}


def test_an_outcome_that_no_job_has_is_one_message(tmp_path: Path) -> None:
    """What may be left there nobody knows: demands of that end are told with it, one of another end is not."""
    nowhere = [("stops: quote-again}", "stops: quote-agin}")]
    lost = "      - {id: base-on, do: Fit the base., fits: [base]}\n"
    report, _ = judged(planted({"old": nowhere[0][0], "new": nowhere[0][1], "and": [(lost, "")]}, tmp_path))
    found = {(each.rule, each.subject): each for each in report.findings}
    assert set(found) == {("impossible-order", "pull-set/not-found"), ("left-off", "jobs/overhaul")}
    assert found["impossible-order", "pull-set/not-found"].others == 5


def test_an_outcome_that_one_job_lacks_hides_nothing_of_another(tmp_path: Path) -> None:
    """The other job has it, and there it excuses too little."""
    text = SHOP.read_text("utf-8")
    entry = "      display-only: {name: for display, may_be: [untested, faulty, apart]}\n"
    first, second, third = text.split(entry)
    new = first + second + entry.replace("untested, ", "") + third
    report, _ = judged(planted({"old": text, "new": new}, tmp_path))
    found = {(each.rule, each.subject): each for each in report.findings}
    assert ("impossible-order", "test/insulation-failed") in found
    assert "restore" in found["handed-over-untested", "test/insulation-failed"].jobs
