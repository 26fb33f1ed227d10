"""Alternatives judged again along a run: what work made of the machine may be no machine that ever came in."""

from __future__ import annotations

import pytest
from examples import report_of

from handwheel.checks.registry import rules_by_id

PAGE = rules_by_id()["alternatives-lost-by-work"].page
CLIP = "- when: {bulb: led, base: clip}"


def told(example: str) -> dict[str, str]:
    return {finding.rule: finding.sentence for finding in report_of(example).findings}


def test_the_same_alternatives_without_the_work_are_sound() -> None:
    assert told(PAGE.failing.replace(", renews: {bulb: led}", "")).keys() == {"electrical-not-told"}


@pytest.mark.parametrize(
    ("arms", "says"),
    [
        (CLIP, "none of the alternatives holds once work has changed the machine"),
        (
            "- when: {bulb: led}\n            steps: [{do: Keep it.}]\n          - when: {bulb: led, base: bayonet}",
            "two alternatives hold at once, once work has changed the machine",
        ),
    ],
)
def test_none_and_several_are_told_on_the_machines_that_came_in_with_the_old_base(arms: str, says: str) -> None:
    sentence = told(PAGE.failing.replace(CLIP, arms))["alternatives-lost-by-work"]
    assert sentence == f"{says}, on base of the bulb bayonet"


def test_what_is_wrong_before_any_work_is_told_once_as_such() -> None:
    assert told(PAGE.failing.replace(CLIP, "- when: {bulb: filament}")).keys() == {"alternatives-not-one"}
