"""One mistake at a time planted in a small whole shop: the rule that finds it, where, and nothing without it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import yaml

from handwheel.checks.bench import Bench
from handwheel.checks.registry import all_rules
from handwheel.checks.report import Report
from handwheel.checks.rule import Rule
from handwheel.checks.runner import judge
from handwheel.reading.load import load

ROOT = Path(__file__).parents[2]
SHOP = Path(__file__).with_name("shop")
"""A smaller shop than the demo, kept as it is, so that work on the demo does not move what is planted."""
STATIC = tuple(rule for rule in all_rules() if "runs" not in rule.needs)

PLANTED: list[dict[str, str]] = yaml.safe_load(Path(__file__).with_name("planted.yaml").read_text("utf-8"))
ALONE = frozenset(("families/skerry", "features/lamp", "features/supply"))
"""Subjects of mistakes after which machines can no longer be told, or are others: each is planted by itself."""


def judged(shop: Path, rules: tuple[Rule, ...] = STATIC) -> Report:
    return judge(Bench(load([ROOT / "content", shop])), rules)


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> dict[int, Report]:
    """Report by number of the planted mistake; those that do not meet in the text are planted together."""
    left = list(range(len(PLANTED)))
    found: dict[int, Report] = {}
    while left:
        demo = Path(shutil.copytree(SHOP, tmp_path_factory.mktemp("planted") / "demo_content"))
        planted: list[int] = []
        for number in left:
            alone = {PLANTED[number]["of"], PLANTED[planted[0]]["of"]} & ALONE if planted else set()
            taken = {PLANTED[each]["of"] for each in planted}
            if not alone and PLANTED[number]["of"] not in taken and _plant(demo, PLANTED[number]):
                planted.append(number)
        assert planted, f"not in the demo any more: {[PLANTED[number]['old'] for number in left]}"
        report = judged(demo)
        found |= dict.fromkeys(planted, report)
        left = [number for number in left if number not in planted]
    return found


def _plant(demo: Path, mistake: dict[str, str]) -> bool:
    path = demo / f"{mistake['file']}.yaml"
    text = path.read_text("utf-8")
    if mistake["old"] not in text:
        return False
    path.write_text(text.replace(mistake["old"], mistake["new"], 1), "utf-8")
    return True


def test_the_shop_has_no_finding_before_a_mistake_is_planted() -> None:
    """Of any rule, those on runs too: what is planted is then the only mistake there."""
    assert judged(SHOP, all_rules()).findings == ()


def test_the_demo_has_no_finding() -> None:
    assert judged(ROOT / "demo_content").findings == ()


@pytest.mark.parametrize("number", range(len(PLANTED)), ids=[f"{each['rule']}-{each['of']}" for each in PLANTED])
def test_a_planted_mistake_is_found(reports: dict[int, Report], number: int) -> None:
    wanted = PLANTED[number]["rule"], PLANTED[number]["of"]
    found = [each for each in reports[number].findings if (each.rule, each.subject) == wanted]
    assert found
    assert all(each.place.file.startswith("demo_content/") and each.place.line > 1 for each in found)


def test_every_static_rule_is_planted_or_said_why_not() -> None:
    not_here = {
        "step-needs-id", "no-step-for-form", "variants-alike", "differs-from-table", "thread-in-no-series",
        "locator-missing",
    }  # fmt: skip
    assert {rule.id for rule in STATIC} - {
        each["rule"] for each in PLANTED
    } == not_here  # planted by their own examples
