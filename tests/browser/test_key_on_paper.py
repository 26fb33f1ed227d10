"""The key of a family on paper: the numbered questions on one A4 page, the tables after it, none of them torn."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Page

from browser.harness import ROOT, axe_findings
from handwheel.pages.here import Desk
from handwheel.pages.key_pages import key_page_of, key_pages
from handwheel.pages.own_assets import own_assets
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

pytestmark = pytest.mark.browser
FRAME = (
    '<!doctype html><html lang="en"><title>{title}</title><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width"><link rel="stylesheet" href="../assets/handwheel.css">'
    '<body data-md-color-scheme="default"><main class="hw-page md-typeset">{html}</main></html>'
)


@pytest.fixture(scope="module")
def keys(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The keys of the demo in plain frames, as files."""
    folder: Path = tmp_path_factory.mktemp("keys")
    desk = Desk(load(folders_of(ROOT / "demo_content")))
    for asset in own_assets():
        (folder / asset.path).parent.mkdir(parents=True, exist_ok=True)
        (folder / asset.path).write_bytes(asset.content)
    for made in key_pages(desk):
        (folder / made.path).parent.mkdir(parents=True, exist_ok=True)
        (folder / made.path).write_text(FRAME.format(title=made.title, html=made.html), "utf-8")
    return folder


def _sheets(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", pdf))


@pytest.mark.parametrize("family", ["skerry", "holm"])
def test_the_questions_of_a_family_stand_on_one_page(page: Page, keys: Path, family: str) -> None:
    page.goto((keys / key_page_of(family)).as_uri())
    whole = _sheets(page.pdf(format="A4"))
    page.locator(".hw-pairs").evaluate("each => each.remove()")
    assert _sheets(page.pdf(format="A4")) == 1
    assert 2 <= whole <= 3


@pytest.mark.parametrize("width", [390, 1280])
def test_both_neighbours_are_in_sight(page: Page, keys: Path, width: int) -> None:
    """No table of two neighbours needs to be pushed sideways."""
    page.set_viewport_size({"width": width, "height": 844})
    page.goto((keys / key_page_of("skerry")).as_uri())
    tables = page.locator(".hw-pair .hw-table")
    assert tables.count() == 4
    for table in tables.all():
        assert table.evaluate("each => each.scrollWidth <= each.clientWidth")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert axe_findings(page) == []
