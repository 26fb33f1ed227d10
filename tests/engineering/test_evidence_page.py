"""`docs/evidence.md`: its shares are those that are measured, and the tests that it names are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.engineering.proofs import slip_shares
from handwheel.engineering.thread_proofs import thread_shares

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "evidence.md").read_text("utf-8")


def rows(heading: str) -> list[list[str]]:
    """Cells of the table under a heading, without its head."""
    part = PAGE.partition(f"## {heading}\n")[2].partition("\n## ")[0]
    lines = [line for line in part.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_every_case_names_a_source_a_tolerance_and_a_test() -> None:
    named = set()
    for heading in re.findall(r"^## (Cases of .*)$", PAGE, re.MULTILINE):
        for case, source, tolerance, tests in rows(heading):
            assert case
            assert source
            assert tolerance
            named |= set(re.findall(r"`([\w/]+\.py)`", tests))
    assert len(named) > 15
    there = {path.name for path in (ROOT / "tests").rglob("test_*.py")}
    assert {name.rpartition("/")[2] for name in named} <= there


def test_every_topic_has_a_library() -> None:
    asked = {topic: library for topic, library, _ in rows("Independent libraries")}
    assert {"threads", "viscosity", "units", "statistics"} <= asked.keys()
    told = (ROOT / "pyproject.toml").read_text("utf-8").casefold()
    for libraries in asked.values():
        assert re.split(r"[;,] ", libraries)[0].casefold() in told


@pytest.mark.long
def test_the_shares_are_those_that_are_measured() -> None:
    shares = (*thread_shares(), *slip_shares())
    right = [[s.table, f"{s.caught} of {s.tried}", f"{s.share:.1%}", s.against] for s in shares]
    *each, total = rows("Slips of the pen")
    assert each == right
    tried, caught = sum(s.tried for s in shares), sum(s.caught for s in shares)
    assert total[:3] == [f"all {len(shares)}", f"{caught} of {tried}", f"{caught / tried:.1%}"]
