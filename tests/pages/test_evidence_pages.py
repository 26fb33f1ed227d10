"""Tables show both units, a verdict in words and the sum; sources are counted; lifting is told on a variant."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.evidence.lifting import allowed
from handwheel.evidence.tally import by_kind, by_standing
from handwheel.pages.electrics_html import electrics_facts
from handwheel.pages.here import Desk
from handwheel.pages.lifting_html import lifting_facts, loads_of
from handwheel.pages.site import Page
from handwheel.pages.table_pages import table_pages
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of


@pytest.fixture(scope="module")
def desk() -> Desk:
    return Desk(load(folders_of(Path(__file__).parents[2] / "demo_content")))


@pytest.fixture(scope="module")
def pages(desk: Desk) -> dict[str, Page]:
    return {page.path: page for page in table_pages(desk)}


@pytest.mark.parametrize("path", ["fasteners.html", "threads.html", "limits.html", "oiling.html", "tools.html"])
def test_each_table_has_its_verdicts(pages: dict[str, Page], path: str) -> None:
    html = pages[path].html
    assert "recomputed</dt>" in html
    assert "<b>agrees</b>" in html or "<b>cannot be checked</b>" in html
    assert "<summary>The sum</summary>" in html


def test_both_units_and_weak_sums(pages: dict[str, Page]) -> None:
    html = pages["fasteners.html"].html
    assert re.search(r"<dd>\d\.\d+ N m \(\d+\.?\d* in lbf\), \d+ N at the rim of a 28 mm handle</dd>", html)
    assert "12 mm (0.472 in)" in html
    assert "it may forbid and permits nothing" in html


def test_sources_are_counted(desk: Desk, pages: dict[str, Page]) -> None:
    html = pages["sources.html"].html
    for standing, count in by_standing(desk.library).items():
        if count:
            assert f'<th scope="row">{standing.words}</th><td>{count}</td>' in html
    assert "permits nothing and raises no limit" in html


def test_lifting_of_each_variant(desk: Desk) -> None:
    here = desk.at("variants/x.html")
    limit, _ = allowed(desk.library)
    people = set()
    for variant in desk.library.variants.values():
        facts = dict(lifting_facts(here, variant))
        loads = loads_of(here, variant)
        assert "Local rules on lifting go before this sum" in facts["The lift that is meant"]
        for name, span in loads.items():
            needed = 1 if span.high <= limit else 2 if span.high <= 2 * limit else 3
            people.add(needed)
            assert facts[name].startswith(f"<b>{needed} ")
    assert people == {1, 2}


def test_what_each_variant_takes_from_the_mains(desk: Desk) -> None:
    """Loads, the lamp in its holder, carriers, and whose word goes first."""
    here = desk.at("variants/x.html")
    for variant in desk.library.variants.values():
        told = dict(electrics_facts(here, variant))
        assert re.search(r"<b>[\d.]+ W, [\d.]+ A at 230 V</b>", told["Takes in all"])
        assert "Local codes decide" in told["Before all of this"]
        assert "Through the mains lead" in told
        assert "<b>cannot be told</b>: holder without a mark" in told["Lamp in its holder"]
        assert not re.search(r"\bsafe", " ".join(told.values()))


def test_the_sum_of_a_load_is_the_rules_own(desk: Desk) -> None:
    """85 W: a motor of 70 W and a lamp of 15 W; 0.42 A marked and 15 W / 230 V = 0.0652 A make 0.49 A."""
    variant = desk.library.variants["skerry-14"]
    told = dict(electrics_facts(desk.at("variants/x.html"), variant))
    assert "<b>85 W, 0.49 A at 230 V</b>: motor 70 W, 0.42 A; lamp bulb 15 W" in told["Takes in all"]
    assert "lamp 15 W, holder 15 W (measured by the shop)" in told["Lamp in its holder"]
    assert "0.42 A through the motor control, rated 0.6 A" in told["Through the motor control"]


def test_needles_stand_side_by_side(pages: dict[str, Page]) -> None:
    html = pages["needles.html"].html
    assert '<th scope="row">90/14</th><td>0.92 mm (0.0362 in)</td><td>2.02 mm (0.0795 in)</td>' in html
    assert '<th scope="row">120/19</th><td>not known</td>' in html


def test_what_other_sources_give(pages: dict[str, Page]) -> None:
    html = pages["limits.html"].html
    assert "<b>differs</b> by 0.2 Ω (200 % more). Set aside: It counts the lead in." in html
    assert "<b>agrees</b> within the digits written" in html


def test_sources_are_counted_by_their_sort(desk: Desk, pages: dict[str, Page]) -> None:
    """Both counts are of the same records, and the shop's own are a part of all."""
    counts = by_kind(desk.library)
    assert sum(every for every, _ in counts.values()) == sum(by_standing(desk.library).values())
    assert all(0 <= own <= every for every, own in counts.values())
    assert counts["standard"][1] == 0 < counts["standard"][0]
    every, _ = counts["shop measurement"]
    assert f'<th scope="row">shop measurement</th><td>{every}</td>' in pages["sources.html"].html


def test_the_head_in_its_base_is_a_load_of_its_own(desk: Desk) -> None:
    """12 kg of head, 1.1 to 2.2 kg of motor or none, and its base."""
    here = desk.at("variants/x.html")
    for variant in desk.library.variants.values():
        loads = loads_of(here, variant)
        heads = [span for name, span in loads.items() if name not in ("Base", "Head in its base, as it is carried")]
        carried = loads["Head in its base, as it is carried"]
        assert carried.high == pytest.approx(max(each.high for each in heads) + loads["Base"].high)
        assert carried.low == pytest.approx(min(each.low for each in heads) + loads["Base"].low)
