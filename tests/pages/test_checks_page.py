"""The page of checks: what is accepted with its reason, how findings came about, and what is proven."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.checks.registry import rules_by_id
from handwheel.checks.runner import run
from handwheel.pages.check_pages import CHECKS, check_pages, rule_path
from handwheel.pages.here import Desk
from handwheel.reading.load import load

SOUND = Path(__file__).parents[1] / "checks" / "sound.yaml"
FORGOTTEN = rules_by_id()["left-off"].page.failing
REASON = "It goes to the plater & comes back."


def pages(shop: str, tmp_path: Path) -> dict[str, str]:
    (tmp_path / "sound").mkdir()
    (tmp_path / "shop").mkdir()
    (tmp_path / "sound" / "sound.yaml").write_text(SOUND.read_text("utf-8"), "utf-8")
    (tmp_path / "shop" / "shop.yaml").write_text(shop, "utf-8")
    library = load([tmp_path / "sound", tmp_path / "shop"])
    return {page.path: page.html for page in check_pages(Desk(library), run(library))}


def test_a_finding_stands_with_how_it_came_about_and_leaves_the_family_unproven(tmp_path: Path) -> None:
    html = pages(FORGOTTEN, tmp_path)[CHECKS]
    errors = html[html.index('id="errors"') : html.index('id="warnings"')]
    assert "is still off at the end, in job &#39;look-inside&#39;" in errors
    assert "side-plate taken off by plate-off/" in errors
    assert "and not proven: 1 finding." in html


def test_what_is_accepted_stands_with_its_reason_who_and_when_and_nowhere_else(tmp_path: Path) -> None:
    accepted = (
        f"accepted: {{mine: {{rule: left-off, of: jobs/look-inside, why: {REASON}, by: E. T., date: 2026-02-03}}}}\n"
    )
    html = pages(FORGOTTEN + accepted, tmp_path)[CHECKS]
    before, after = html.split('id="accepted"')
    assert "is still off at the end" not in before
    assert "is still off at the end" in after
    assert "It goes to the plater &amp; comes back. E. T., 2026-02-03" in after
    assert "but for 1 accepted finding." in html


def test_others_of_the_same_cause_are_listed(tmp_path: Path) -> None:
    two = FORGOTTEN.replace(
        "steps:\n      - {do: Undo",
        "steps:\n      - {do: Lift the shaft out., removes: [shaft]}\n      - {do: Undo",
        1,
    )
    html = pages(two, tmp_path)[CHECKS]
    assert "(1 more of the same cause)" in html
    assert "<summary>See also: 1</summary>" in html


@pytest.mark.parametrize("rule", ["left-off", "live-work"])
def test_a_rules_page_has_all_its_parts(rule: str, tmp_path: Path) -> None:
    page = rules_by_id()[rule].page
    html = pages(FORGOTTEN, tmp_path)[rule_path(rule)]
    assert all(word.split(".")[0].split("`")[0] in html for word in (page.proves, page.matters, page.mend))
    assert html.count("<pre") == 2
    assert ("it stops publishing" in html) == rules_by_id()[rule].fixed
