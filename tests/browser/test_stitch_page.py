"""The stitch page from the file system: a sample worked out, a mistake told; and without a script the table stands."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from browser.harness import ROOT, axe_findings, small_targets
from handwheel.pages.here import Desk
from handwheel.pages.own_assets import own_assets
from handwheel.pages.stitch_page import stitch_asset, stitch_page
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The page in a plain frame, with our style sheet, as a file."""
    folder: Path = tmp_path_factory.mktemp("stitch")
    for asset in (*own_assets(), stitch_asset()):
        (folder / asset.path).parent.mkdir(parents=True, exist_ok=True)
        (folder / asset.path).write_bytes(asset.content)
    made = stitch_page(Desk(load(folders_of(ROOT / "demo_content"))))
    head = (
        '<meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        '<link rel="stylesheet" href="assets/handwheel.css">'
    )
    body = f'<body data-md-color-scheme="default"><main class="hw-page md-typeset">{made.html}</main>'
    text = f'<!doctype html><html lang="en"><title>{made.title}</title>{head}{body}</html>'
    (folder / "stitch.html").write_text(text, "utf-8")
    return (folder / "stitch.html").as_uri()


def ask(page: Page, *rows: tuple[str, str, str]) -> str:
    for n, (over, count, at) in enumerate(rows, 1):
        page.fill(f"[name=over{n}]", over)
        page.fill(f"[name=count{n}]", count)
        page.fill(f"[name=at{n}]", at)
    page.click("button[type=submit]")
    return page.inner_text("#hw-stitch-answer")


@pytest.mark.parametrize("width", [390, 1280])
def test_a_sample_is_worked_out(chromium: Browser, address: str, width: int) -> None:
    page = chromium.new_page(viewport={"width": width, "height": 900})
    page.goto(address)
    page.select_option("[name=marking]", "inch")
    told = ask(page, ("50", "20", "10"), ("50.6", "20", "10"), ("50.4", "20", "10"))
    assert "sews 2.52 mm, marked 2.54 mm: -0.02 mm, known to 0.03 mm; no difference can be told" in told
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert not axe_findings(page)
    assert not small_targets(page)
    page.close()


def test_a_mistake_is_told(chromium: Browser, address: str) -> None:
    page = chromium.new_page()
    page.goto(address)
    assert "written with a point" in ask(page, ("50,5", "20", ""))
    assert "at least 5" in ask(page, ("5", "3", ""))
    assert "Write a length" in ask(page, ("", "", ""))
    page.close()


def test_without_a_script(chromium: Browser, address: str) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address)
    assert not page.is_visible("#hw-stitch")
    assert "2.540 mm" in page.inner_text("body")
    context.close()
