"""The demo in use: keyboard alone, ticks that stay, without scripts, on paper, from the file system."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from browser.harness import watch

pytestmark = pytest.mark.browser
WORK = "on/skerry-24/winder-off.html"
DONE = "document.querySelectorAll('.hw-step.hw-done').length"


def tab_to(page: Page, script: str, most: int = 80) -> None:
    """Press Tab until the script says that the right thing has the focus."""
    for _ in range(most):
        page.keyboard.press("Tab")
        if page.evaluate(script):
            return
    raise AssertionError(f"not reached with {most} tabs: {script}")


def test_a_variant_and_its_work_are_reached_and_ticked_by_keyboard_alone(page: Page, demo_url: str) -> None:
    page.goto(f"{demo_url}/index.html")
    tab_to(page, "document.activeElement.getAttribute('href') === 'variants/skerry-24.html'")
    page.keyboard.press("Enter")
    page.wait_for_url("**/variants/skerry-24.html")
    tab_to(page, "(document.activeElement.getAttribute('href') || '').endsWith('skerry-24/winder-off.html')", 120)
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/{WORK}")
    tab_to(page, "document.activeElement.matches('.hw-do input')")
    shown = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    framed = page.evaluate("getComputedStyle(document.activeElement.closest('.hw-do')).outlineStyle")
    assert "none" in {shown, framed} and {shown, framed} != {"none"}, "the focus is not seen"
    page.keyboard.press("Space")
    assert page.evaluate(DONE) == 1


def test_ticks_stay_after_a_reload_and_belong_to_one_machine(page: Page, demo_url: str) -> None:
    page.goto(f"{demo_url}/{WORK}")
    page.locator(".hw-do").nth(0).click()
    page.locator(".hw-do").nth(1).click()
    page.reload()
    assert page.evaluate(DONE) == 2
    assert "2 of" in page.locator("[data-hw-progress]").inner_text()
    page.goto(f"{demo_url}/on/skerry-21/winder-off.html")
    assert page.evaluate(DONE) == 0
    page.goto(f"{demo_url}/{WORK}")
    page.get_by_role("button", name="Clear the ticks").click()
    page.reload()
    assert page.evaluate(DONE) == 0


def test_without_scripts_all_of_a_procedure_stands_there(chromium: Browser, demo_url: str) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{demo_url}/{WORK}")
    assert page.locator(".hw-step").count() > 3
    for step in page.locator(".hw-do").all():
        assert step.is_visible()
    assert page.locator(".hw-machine").is_visible()
    page.locator(".hw-state summary").first.click()
    assert page.locator(".hw-state dl, .hw-state p").first.is_visible()
    context.close()


def test_on_paper_steps_and_cautions_stand_and_buttons_do_not(page: Page, demo_url: str) -> None:
    page.goto(f"{demo_url}/on/skerry-11/lamp-off.html")
    page.emulate_media(media="print")
    assert page.locator(".hw-do").first.is_visible()
    assert page.locator(".hw-machine").is_visible()
    assert page.locator(".hw-safety").first.is_visible()
    for gone in (".md-header", ".md-tabs", ".hw-page button", ".hw-crumbs"):
        for each in page.locator(gone).all():
            assert not each.is_visible(), gone
    assert page.pdf(format="A4")[:4] == b"%PDF"


@pytest.mark.parametrize(("family", "tables"), [("skerry", 2), ("holm", 1)])
def test_the_questions_of_a_key_stand_on_one_sheet(page: Page, demo_url: str, family: str, tables: int) -> None:
    """A4, in the frame of the whole site, which takes room of its own; the tables of neighbours take the others."""
    page.goto(f"{demo_url}/keys/{family}.html")
    assert page.locator(".hw-keyed").count() >= 1
    assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4"))) == 1 + tables


@pytest.mark.parametrize("name", ["index.html", WORK, "identify.html", "screw.html", "recordings.html"])
def test_pages_open_from_the_file_system(chromium: Browser, demo: Path, name: str) -> None:
    context = chromium.new_context()
    strangers = watch(context)
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.goto((demo / name).as_uri())
    assert page.locator("h1").first.is_visible()
    assert page.evaluate("document.styleSheets.length") > 0
    assert page.evaluate("document.fonts.ready.then(() => document.fonts.check('16px Hyperlegible'))")
    page.locator("a[href$='.html']:visible").nth(1).click()
    page.wait_for_load_state()
    assert page.url.startswith("file:") and page.locator("h1").first.is_visible()
    context.close()
    assert (strangers, errors) == ([], [])
