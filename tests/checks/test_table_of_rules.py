"""The table of what can go wrong at the bench, in `docs/checks.md`, against the rules and what is planted."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

from handwheel.checks.registry import rules_by_id
from handwheel.reading.load import load
from handwheel.records.errors import InputErrors

HERE = Path(__file__).parent
TABLE = HERE.parents[1] / "docs" / "checks.md"
READ = {
    "unknown-id": "procedures: {look: {title: Look, steps: [{do: Look at it., tools: [no-such-tool]}]}}\n",
}
"""What the reader refuses, by the code of its message: the mistake that shows it."""


def rows() -> list[tuple[str, list[str], list[str]]]:
    """What goes wrong, the rules, and where it is planted."""
    text = TABLE.read_text("utf-8").partition("| what can go wrong")[2].partition("\n\n")[0]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in text.splitlines()[2:]]
    return [(what, re.findall(r"`([a-z-]+)`", rules), planted.split(", ")) for what, rules, planted in cells]


def planted_in(name: str) -> set[str]:
    return {each["rule"] for each in yaml.safe_load((HERE / name).read_text("utf-8"))}


def test_every_rule_stands_in_a_row_and_no_other() -> None:
    named = {rule for _, rules, _ in rows() for rule in rules}
    assert named - set(READ) == set(rules_by_id())


def test_no_row_says_the_same_twice_and_none_is_empty() -> None:
    said = [what for what, _, _ in rows()]
    assert len(said) == len(set(said)) > 40
    assert all(what and rules and len(rules) == len(set(rules)) for what, rules, _ in rows())


def test_every_row_is_planted_as_it_says() -> None:
    places = {"run": planted_in("planted_runs.yaml"), "shop": planted_in("planted.yaml"), "read": set(READ)}
    for what, rules, told in rows():
        found = {place for place, planted in places.items() if planted & set(rules)}
        alone = {"page"} if set(rules) - set().union(*places.values()) else set()
        assert found | alone == set(told), what


@pytest.mark.parametrize("code", READ)
def test_what_the_reader_refuses_is_refused(code: str, tmp_path: Path) -> None:
    (tmp_path / "shop.yaml").write_text(READ[code], "utf-8")
    with pytest.raises(InputErrors) as told:
        load([tmp_path])
    assert {message.code for message in told.value.messages} == {code}
