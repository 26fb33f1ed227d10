"""The printed key in a browser: on a phone, on the bench, in the dark and on paper, from the file system."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page

from browser.harness import ROOT, axe_findings, small_targets
from handwheel.pages.here import Desk
from handwheel.pages.key_pages import key_page_of, key_pages
from handwheel.pages.own_assets import own_assets
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

pytestmark = pytest.mark.browser
VIEWS = [(390, 844, "light"), (1280, 900, "light"), (1280, 900, "dark")]
FRAME = (
    '<!doctype html><html lang="en"><title>{title}</title><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width"><link rel="stylesheet" href="../assets/handwheel.css">'
    '<body data-md-color-scheme="default"><main class="hw-page md-typeset">{html}</main></html>'
)


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The keys in plain frames, with our style sheet, as files; the one that is looked at first."""
    folder: Path = tmp_path_factory.mktemp("key")
    for asset in own_assets():
        (folder / asset.path).parent.mkdir(parents=True, exist_ok=True)
        (folder / asset.path).write_bytes(asset.content)
    (folder / "keys").mkdir()
    for made in key_pages(Desk(load(folders_of(ROOT / "demo_content")))):
        (folder / made.path).write_text(FRAME.format(title=made.title, html=made.html), "utf-8")
    return (folder / key_page_of("skerry")).as_uri()


@pytest.mark.parametrize(("width", "height", "scheme"), VIEWS, ids=["phone", "bench", "dark"])
def test_it_reads_well_on_every_screen(page: Page, address: str, width: int, height: int, scheme: str) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(color_scheme=scheme)
    page.goto(address)
    assert axe_findings(page) == []
    assert small_targets(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    tables = page.locator(".hw-pair .hw-table")
    assert tables.count() == 4
    assert all(table.evaluate("each => each.scrollWidth <= each.clientWidth") for table in tables.all())
    heights = page.eval_on_selector_all(".hw-goes a", "all => all.map(each => each.getBoundingClientRect().height)")
    assert heights and min(heights) >= 44
    drawn = page.eval_on_selector_all(
        ".hw-ways > li > .hw-figure svg", "all => all.map(each => each.getBoundingClientRect().height)"
    )
    assert drawn and min(drawn) > 60


def test_its_numbers_lead_on(page: Page, address: str) -> None:
    page.goto(address)
    page.click("#question-1 a[href^='#question-']")
    target = page.url.rpartition("#")[2]
    assert page.locator(f"#{target}").bounding_box()["y"] < 700  # type: ignore[index]


def test_on_paper_no_question_is_cut_in_two(page: Page, address: str) -> None:
    """A4 with the margins of the style sheet: a question stays whole, and no answer is wider than the paper."""
    page.goto(address)
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 703, "height": 1017})
    kept = page.eval_on_selector_all(".hw-keyed", "all => all.map(each => getComputedStyle(each).breakInside)")
    assert kept and set(kept) == {"avoid"}
    assert set(page.eval_on_selector_all(".hw-grid tr", "all => all.map(e => getComputedStyle(e).breakInside)")) == {
        "avoid"
    }
    assert page.evaluate("document.documentElement.scrollWidth") <= 703
    heights = page.eval_on_selector_all(".hw-keyed", "all => all.map(each => each.getBoundingClientRect().height)")
    assert max(heights) < 1017
    assert page.pdf(format="A4").startswith(b"%PDF")


@pytest.mark.parametrize("family", ["skerry", "holm"])
def test_the_questions_of_a_family_stand_on_one_page(page: Page, address: str, family: str) -> None:
    """A4; the tables of neighbours begin a page of their own, and each stands whole on one."""
    page.goto(address.replace("skerry", family))
    whole = _sheets(page.pdf(format="A4"))
    page.locator(".hw-pairs").evaluate("each => each.remove()")
    assert _sheets(page.pdf(format="A4")) == 1
    assert 2 <= whole <= 3


def _sheets(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))
