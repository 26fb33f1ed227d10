"""The screw page from the file system: the question answered, a mistake told, nothing certain; and without a script."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from browser.harness import ROOT, axe_findings, small_targets
from handwheel.pages.here import Desk
from handwheel.pages.own_assets import own_assets
from handwheel.pages.screw_page import screw_asset, screw_page
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The page in a plain frame, with our style sheet, as a file."""
    folder: Path = tmp_path_factory.mktemp("screw")
    library = load(folders_of(ROOT / "demo_content"))
    for asset in (*own_assets(), screw_asset(library)):
        (folder / asset.path).parent.mkdir(parents=True, exist_ok=True)
        (folder / asset.path).write_bytes(asset.content)
    made = screw_page(Desk(library))
    head = '<meta charset="utf-8"><meta name="viewport" content="width=device-width"><link rel="stylesheet" href="assets/handwheel.css">'  # noqa: E501
    body = f'<body data-md-color-scheme="default"><main class="hw-page md-typeset">{made.html}</main>'
    (folder / "screw.html").write_text(f'<!doctype html><html lang="en"><title>{made.title}</title>{head}{body}</html>', "utf-8")  # fmt: skip  # noqa: E501
    return (folder / "screw.html").as_uri()


def ask(page: Page, diameter: str, pitch: str, count: str = "mm") -> str:
    page.fill("[name=diameter]", diameter)
    page.fill("[name=pitch]", pitch)
    page.select_option("[name=count]", count)
    page.click("button[type=submit]")
    return page.inner_text("#hw-screw-answer")


def test_it_ranks_and_is_never_certain(page: Page, address: str) -> None:
    page.goto(address)
    told = ask(page, "3.5", "40", "tpi")
    unverified, verified = "SM 9/64-40 (special inch, unverified): possible, 49 %", "6-40 UNF (UNF): possible, 36 %"
    assert told.index(unverified) < told.index(verified)
    assert "Unverified" in told
    assert "Beware of 4 BA" in told
    assert "In grey iron: the screw yields" in told
    assert "Nothing here is certain" in told
    page.select_option("[name=metal]", "aluminium")
    assert "In aluminium: " in ask(page, "3.5", "0.635")


def test_slot_and_clamp(page: Page, address: str) -> None:
    """By hand: 240 MPa x 0.4 mm x (5.5 mm)^2 / 6 = 0.484 N m, which at a handle of 28 mm is 34.6 N at its rim."""
    page.goto(address)
    page.fill("[name=slotWidth]", "1.1")
    page.fill("[name=slotLength]", "6")
    assert "measure the depth of the slot" in ask(page, "3.5", "0.635")
    page.fill("[name=slotDepth]", "0.4")
    page.fill("[name=clamp]", "150")
    told = ask(page, "3.5", "0.635")
    assert "Blade: 1.0x5.5 fits the slot" in told
    assert "the slot gives way from 0.484 N m (4.28 in lbf), 34.6 N (7.77 lbf) at the rim of a 28 mm handle" in told
    assert "150 N (33.7 lbf) of clamp may take" in told
    assert "Blade of a new screw" not in told
    page.fill("[name=clamp]", "9000")
    assert "no torque both holds and spares it" in ask(page, "3.5", "0.635")


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("slotWidth", "-1", "The width of the slot must be a number from 0.2 to 4 mm"),
        ("slotDepth", "1", "The width of the slot must be"),
        ("clamp", "-5", "The clamp must be a number of newtons"),
        ("clamp", "3 N m", "The clamp must be a number of newtons"),
    ],
)
def test_a_wrong_slot_is_told(page: Page, address: str, field: str, value: str, words: str) -> None:
    page.goto(address)
    page.fill(f"[name={field}]", value)
    assert words in ask(page, "3.5", "0.635")


def test_mistakes_are_told(page: Page, address: str) -> None:
    page.goto(address)
    assert "0.7 to 30 mm" in ask(page, "-3", "0.6")
    assert "The pitch must be" in ask(page, "3.5", "40")
    assert "No thread of any series" in ask(page, "29", "0.6")


@pytest.mark.parametrize("width", [390, 1280])
def test_it_can_be_used(page: Page, address: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(address)
    ask(page, "3.5", "0.635")
    assert axe_findings(page) == []
    assert small_targets(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_without_a_script_the_table_stands(chromium: Browser, address: str) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address)
    assert not page.is_visible("#hw-screw")
    assert page.is_visible("text=SM 9/64-40")
    context.close()
