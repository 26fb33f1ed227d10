"""Every rule has its page, and its examples do what the page says of them."""

from __future__ import annotations

import re

import pytest
from examples import ids_of, report_of

from handwheel.checks.bench import Bench
from handwheel.checks.page import BadPage, page_of
from handwheel.checks.registry import all_rules, rules_by_id
from handwheel.checks.rule import Rule
from handwheel.records.library import Library

RULES = all_rules()
EACH = pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)


def test_ids_are_unique_and_kebab() -> None:
    assert len(rules_by_id()) == len(RULES) > 0
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", rule.id) for rule in RULES)


@EACH
def test_a_page_lacks_nothing(rule: Rule) -> None:
    assert rule.page.lacking == ()
    assert not rule.page.defect.endswith(".")


@EACH
def test_every_fact_that_is_asked_for_is_on_the_bench(rule: Rule) -> None:
    assert rule.needs == ("findings",) or Bench(Library()).knows(set(rule.needs) - {"findings"})


@EACH
def test_the_failing_example_gives_exactly_this_finding(rule: Rule) -> None:
    assert ids_of(rule.page.failing) == {rule.id}


@EACH
def test_the_passing_example_gives_nothing(rule: Rule) -> None:
    assert ids_of(rule.page.passing) == set()


def test_the_ground_of_the_examples_is_sound() -> None:
    report = report_of("terms: {bed: {name: bed, means: The flat part.}}\n")
    assert (report.findings, report.accepted, report.off, report.unjudged) == ((), (), (), ())


def test_a_page_without_its_parts_is_told() -> None:
    assert page_of("odd", "A defect.\n\nWhat it proves:\n    It.\n").lacking == (
        "matters",
        "failing",
        "passing",
        "mend",
    )
    with pytest.raises(BadPage, match="under no heading"):
        page_of("odd", "A defect.\n\nIt is odd.\n")
    with pytest.raises(BadPage, match="twice"):
        page_of("odd", "A defect.\n\nWhat it proves:\n    It.\n\nWhat it proves:\n    It.\n")
