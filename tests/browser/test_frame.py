"""The frame and the shared components in a real browser: what a person with oily hands meets."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.harness import axe_findings, small_targets

pytestmark = pytest.mark.browser

SIZES = [(390, 844), (1280, 900)]
SCHEMES = ["light", "dark"]


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: str(size[0]))
@pytest.mark.parametrize("name", ["guide.html", "index.html", "words.html"])
def test_no_finding_at_wcag_2_2_aa(page: Page, guide_url: str, size: tuple[int, int], scheme: str, name: str) -> None:
    """axe-core, rules for WCAG 2.2 levels A and AA, on phone and bench screen, light and dark."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.emulate_media(color_scheme=scheme)
    page.goto(f"{guide_url}/{name}")
    assert axe_findings(page) == []


def test_axe_would_find_a_mistake(page: Page, guide_url: str) -> None:
    """A control without a name is found, so the checks above can fail."""
    page.goto(f"{guide_url}/index.html")
    page.evaluate("document.querySelector('.hw-page').append(document.createElement('button'))")
    assert any(finding.startswith("button-name") for finding in axe_findings(page))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: str(size[0]))
def test_nothing_sticks_out_and_targets_are_large(page: Page, guide_url: str, size: tuple[int, int]) -> None:
    """No sideways scrolling but inside tables; controls at least 44 pixels high."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.goto(f"{guide_url}/guide.html")
    assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
    assert small_targets(page) == []


def test_first_column_stays_when_a_table_is_scrolled(page: Page, guide_url: str) -> None:
    """At 390 pixels the last column can be reached and the names stay in sight."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{guide_url}/guide.html")
    region = page.locator(".hw-table")
    region.evaluate("e => e.scrollLeft = e.scrollWidth")
    assert region.evaluate("e => e.scrollLeft") > 50
    head = page.get_by_role("rowheader", name="Lamp mount").bounding_box()
    last = page.get_by_role("columnheader", name="Pattern D").bounding_box()
    assert head and last
    assert head["x"] >= 0 and last["x"] + last["width"] <= 390


def test_ticks_stay_and_can_be_cleared(page: Page, guide_url: str) -> None:
    """A tick is still there when the page is opened again; the next step is named; one button clears all."""
    page.goto(f"{guide_url}/guide.html")
    first = page.get_by_role("checkbox").first
    first.check()
    expect(page.locator("[data-hw-progress]")).to_have_text("1 of 5 steps ticked")
    page.reload()
    expect(first).to_be_checked()
    expect(page.locator("#lamp-off")).to_have_attribute("aria-current", "step")
    page.get_by_role("button", name="Clear the ticks").click()
    page.reload()
    expect(first).not_to_be_checked()
    expect(page.get_by_role("button", name="Clear the ticks")).to_be_hidden()


def test_keyboard_alone_reaches_and_works_everything(page: Page, guide_url: str) -> None:
    """Tab goes through every link and control of the page in order; space ticks, Enter folds."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{guide_url}/guide.html")
    wanted = page.evaluate(
        "[...document.querySelectorAll('.hw-page :is(a[href], input, summary, [tabindex], button)')]"
        ".filter(e => e.checkVisibility()).length"
    )
    page.locator(".hw-crumbs a").first.focus()
    seen = 1
    for _ in range(wanted + 5):
        page.keyboard.press("Tab")
        if page.evaluate("!!document.activeElement.closest('.hw-page')"):
            seen += 1
    assert seen >= wanted
    box = page.get_by_role("checkbox").nth(1)
    box.focus()
    page.keyboard.press("Space")
    expect(box).to_be_checked()
    panel = page.locator("#lamp-off details")
    panel.locator("summary").focus()
    page.keyboard.press("Enter")
    expect(panel).to_have_attribute("open", "")


def test_skip_link_leads_to_the_content(page: Page, guide_url: str) -> None:
    """The first stop of the keyboard jumps over the frame."""
    page.goto(f"{guide_url}/guide.html")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('href')") == "#content"


def test_state_panels_are_open_where_there_is_room(page: Page, guide_url: str) -> None:
    """Beside the step on a bench screen, folded under it on a phone."""
    page.goto(f"{guide_url}/guide.html")
    expect(page.locator("#lamp-off dl")).to_be_visible()
    step, panel = page.locator("#lamp-off .hw-body").bounding_box(), page.locator("#lamp-off .hw-state").bounding_box()
    assert step and panel and panel["x"] >= step["x"] + step["width"]
    page.set_viewport_size({"width": 390, "height": 844})
    expect(page.locator("#lamp-off dl")).to_be_hidden()


def test_pages_work_without_scripts(chromium: Browser, guide_url: str) -> None:
    """Steps, cautions and folded states are there; a tick is a plain square that takes a tick."""
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{guide_url}/guide.html")
    expect(page.get_by_text("Undo the 2 bracket screws")).to_be_visible()
    expect(page.get_by_text("5 steps")).to_be_visible()
    page.locator(".hw-do input").first.check()
    page.locator("#lamp-off summary").click()
    expect(page.locator("#lamp-off dl")).to_be_visible()
    context.close()


@pytest.mark.parametrize("scheme", SCHEMES)
def test_print_is_ink_on_paper_with_every_state(page: Page, guide_url: str, scheme: str) -> None:
    """Printing from a dark screen too: black on white, no buttons, states unfolded."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.emulate_media(media="print", color_scheme=scheme)
    page.goto(f"{guide_url}/guide.html")
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    assert page.locator(".hw-page").evaluate("e => getComputedStyle(e).color") == "rgb(0, 0, 0)"
    body = page.locator("body").evaluate("e => getComputedStyle(e).backgroundColor")
    assert body in {"rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"}
    expect(page.locator("#lamp-off dl")).to_be_visible()
    expect(page.locator(".hw-button").first).to_be_hidden()
    expect(page.locator(".md-header")).to_be_hidden()


def test_safety_words_and_colours(page: Page, guide_url: str) -> None:
    """The signal word is text; word on ground reaches 4.5 to 1 (WCAG 2.2, criterion 1.4.3 and its formula)."""
    page.goto(f"{guide_url}/guide.html")
    for word in ("DANGER", "WARNING", "CAUTION", "NOTICE"):
        signal = page.get_by_text(word, exact=True).first
        ink, ground = signal.evaluate("e => [getComputedStyle(e).color, getComputedStyle(e).backgroundColor]")
        light, dark = sorted((_luminance(ink), _luminance(ground)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, word


def _luminance(css: str) -> float:
    channels = [int(part) / 255 for part in css.removeprefix("rgb(").removesuffix(")").split(",")]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_search_finds_a_step_and_leads_to_it(page: Page, guide_url: str) -> None:
    """One hit, saying for which machines it holds, from the theme's own search."""
    page.goto(f"{guide_url}/index.html")
    _search_and_follow(page)
    assert page.url == f"{guide_url}/guide.html#lamp-off"


def test_the_site_opens_from_the_file_system(page: Page, guide: Path) -> None:
    """By double click: style, typeface, scripts, links between pages, and the search."""
    page.goto((guide / "deep/down/guide.html").as_uri())
    page.evaluate("document.fonts.ready")
    assert page.evaluate("document.fonts.check('16px Hyperlegible')")
    page.locator(".hw-do input").first.check()
    expect(page.locator("[data-hw-progress]")).to_have_text("1 of 5 steps ticked")
    page.get_by_role("link", name="Bench notes").first.click()
    page.wait_for_url("**/index.html")
    _search_and_follow(page)
    assert page.url.startswith((guide / "guide.html").as_uri())


def _search_and_follow(page: Page) -> None:
    page.locator(".md-search__input").click()
    page.locator(".md-search__input").press_sequentially("bracket", delay=20)
    hit = page.locator(".md-search-result__link", has_text="bracket").first
    expect(hit).to_contain_text("Holds for: pattern B, pattern D")
    hit.click()
    page.wait_for_url("**/guide.html*")
