"""A machine as found, chosen on the Identify page: named everywhere, its links and procedures, until it is left."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.harness import ROOT, axe_findings, small_targets
from handwheel.identify.answer import identify
from handwheel.identify.evidence import Evidence, saw
from handwheel.identify.subjects import plan_of, tables_for
from handwheel.machines.machine import Known
from handwheel.procedures.resolve import Resolver
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.library import Library

pytestmark = pytest.mark.browser
OWN = "m=skerry&v=skerry-24"
"""A pattern of which nothing was looked at."""
FOREIGN = "m=skerry&v=skerry-24&f.bulb=led&f.face-plate=rings&n=green one"
KINDS = ("index.html", "variants/skerry-14.html", "procedures/winder-off.html", "jobs/yearly-service.html",
         "on/skerry-14/winder-off.html", "identify.html", "notes.html", "found.html")  # fmt: skip
"""One page of each kind on which the bar may be in the way."""


def choose(page: Page, root: str, text: str) -> None:
    """Choose a machine by its address."""
    page.goto(f"{root}/found.html#{quote(text, safe='=&,.')}")
    shown(page)


def shown(page: Page) -> None:
    """Wait until the page has put in what it knows of the machine."""
    page.locator("html[data-hw-found=shown]").wait_for(state="attached")


def bar(page: Page) -> str:
    return page.locator(".hw-on-bench").inner_text()


def test_chosen_on_the_identify_page_and_left_again(page: Page, demo_url: str) -> None:
    """The whole way: looks, the button, its page, a procedure, a reload, and one tap that leaves it."""
    page.goto(f"{demo_url}/identify.html#m=skerry&f.bed-edge=round&f.lamp-seat=socket&f.winder-seat=well")
    page.get_by_role("button", name="Use this machine as found").click()
    page.wait_for_url("**/found.html#*")
    shown(page)
    assert "On the bench" in bar(page) and "as found" in bar(page)
    page.get_by_role("link", name="Take the bobbin winder off").first.click()
    shown(page)
    assert page.locator("#bench").inner_text() == "For the machine on the bench"
    before = bar(page)
    page.reload()
    shown(page)
    assert bar(page) == before
    with page.expect_navigation():
        page.get_by_role("button", name="Leave this machine").click()
    expect(page.locator(".hw-on-bench")).to_have_count(0)
    expect(page.locator("#every")).to_have_count(1)
    assert page.evaluate("window.handwheelFound.read()") is None
    assert page.evaluate("localStorage.getItem('handwheel.machine')") is None


SEEN = {"control": "knee", "lamp-seat": "blind", "block": "two-pin", "face-plate": "rings"}
"""The seat for the lamp is of another pattern than the rest: seen once, the look is in doubt; seen twice, it counts."""


@pytest.fixture(scope="module")
def library() -> Library:
    return load(folders_of(ROOT / "demo_content"))


def found_here(library: Library, again: tuple[str, ...]) -> Known:
    """The machine as found, as the engine here has it, after looks of which some were taken twice."""
    looks = [saw(feature, form) for feature, form in SEEN.items()] + [saw(feature, SEEN[feature]) for feature in again]
    tables = tables_for(library, "skerry")
    inside = identify(tables, Evidence(tuple(looks)), plan_of(library)).judgement.variants
    variants = frozenset(tables.variants[each] for each in inside)
    return Known(variants, {feature: frozenset((form,)) for feature, form in SEEN.items()})


def test_the_machine_after_a_second_look_is_the_one_here(page: Page, demo_url: str, library: Library) -> None:
    """Its patterns and forms, and the steps of two procedures, are those of the engine and the resolver here."""
    here = found_here(library, ("lamp-seat",))
    assert here.variants == {"skerry-17"} != found_here(library, ()).variants
    page.goto(f"{demo_url}/identify.html#m=skerry&" + "&".join(f"f.{each}={form}" for each, form in SEEN.items()))
    page.get_by_role("button", name="Looked again, the same").click()
    page.wait_for_url("**&again=lamp-seat")
    page.get_by_role("button", name="Use this machine as found").click()
    page.wait_for_url("**/found.html#*&again=lamp-seat*")
    shown(page)
    chosen = page.evaluate("handwheelFound.read()")
    assert set(chosen["variants"]) == here.variants
    assert {each: frozenset(forms) for each, forms in chosen["forms"].items()} == here.forms
    resolver = Resolver(library, "skerry")
    for procedure in ("lamp-off", "drive-off"):
        page.goto(f"{demo_url}/procedures/{procedure}.html")
        shown(page)
        steps = page.locator("[data-hw-ticks^='found/'] .hw-step")
        resolved = resolver.resolve(procedure, here)
        assert steps.evaluate_all("all => all.map(each => each.id)") == [step.anchor for step in resolved.steps]
    page.locator(".hw-on-bench").get_by_role("link", name="Look again").click()
    page.wait_for_url("**/identify.html#*")
    expect(page.get_by_text("seat for the lamp: neither slot nor socket (looked twice)")).to_have_count(1)


@pytest.mark.parametrize(("width", "scheme"), [(390, "light"), (1280, "dark")])
def test_the_bar_stands_on_every_kind_of_page(page: Page, demo_url: str, width: int, scheme: str) -> None:
    """With nothing against WCAG 2.2 AA, no target that a thumb misses, nothing that sticks out."""
    page.set_viewport_size({"width": width, "height": 844})
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    choose(page, demo_url, FOREIGN)
    wrong: dict[str, list[str]] = {}
    for each in KINDS if width == 390 else KINDS[2::5]:
        page.goto(f"{demo_url}/{each}")
        shown(page)
        said = bar(page)
        assert "green one (Pattern 24)" in said and "from outside" in said and "face plate" in said
        found = axe_findings(page) + small_targets(page)
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append("sticks out sideways")
        wrong |= {each: found} if found else {}
    assert wrong == {}


def test_links_lead_to_its_pages(page: Page, demo_url: str) -> None:
    """From lists of another pattern, from the index and from search hits; a way to another pattern stays one."""
    choose(page, demo_url, FOREIGN)
    page.goto(f"{demo_url}/variants/skerry-14.html")
    shown(page)
    assert page.locator(".hw-page a[href*='/on/skerry-14/'], .hw-page a[href^='../on/']").count() == 1  # the watch list
    assert page.locator(".hw-page a[href$='procedures/winder-off.html']").count() >= 1
    page.goto(f"{demo_url}/on/skerry-14/winder-off.html")
    shown(page)
    assert "This page is for another machine." in bar(page)
    assert page.locator(".hw-machine a[href*='on/skerry-17/winder-off.html']").count() == 1


def test_a_machine_as_it_left_the_works_has_the_pages_of_its_pattern(page: Page, demo_url: str) -> None:
    page.goto(f"{demo_url}/found.html")
    forms = page.evaluate("handwheelFoundData[''].families.skerry.features")
    assert len(forms) > 10
    page.goto(f"{demo_url}/variants/skerry-24.html")
    choose(page, demo_url, as_built(page))
    assert "as it left the works" in bar(page)
    page.goto(f"{demo_url}/procedures.html")
    shown(page)
    assert page.locator(".hw-page a[href$='on/skerry-24/winder-off.html']").count() == 1
    search(page, "winder")
    hit = page.locator(".md-search-result__link[href*='procedures/winder-off.html']").first
    hit.focus()
    assert "/on/skerry-24/winder-off.html" in page.evaluate("document.activeElement.href")


def as_built(page: Page) -> str:
    """Every feature with a form that the works gave this pattern, as the data of the site has it."""
    page.goto(page.url.rsplit("/variants", 1)[0] + "/found.html#" + OWN)
    shown(page)
    script = """async () => {
        const family = handwheelFoundData.skerry, engine = handwheelFoundEngine(family);
        const built = family.variants.find(each => each[0] === "skerry-24")[3], parts = [];
        const machine = engine.within({variants: ["skerry-24"], forms: {}});
        for (const [q, {looked, states}] of Object.entries(family.questions)) {
            if (!looked) continue;
            for (const state of Object.keys(states)) {
                const forms = Object.fromEntries([...parts, [q, [state]]]);
                const here = engine.within({variants: ["skerry-24"], forms});
                if (engine.some(here, built)) { parts.push([q, [state]]); break; }
            }
        }
        return parts.map(([q, [state]]) => `f.${q}=${state}`).join("&");
    }"""
    found: str = page.evaluate(script)
    return f"{OWN}&{found}"


def search(page: Page, words: str) -> None:
    if page.locator("input.md-search__input").is_hidden():
        page.locator("label[for=__search]").first.click()
    page.locator("input.md-search__input").fill(words)
    page.locator(".md-search-result__link").first.wait_for(timeout=15_000)


@pytest.mark.parametrize("width", [390, 1280])
def test_a_step_that_hangs_on_a_look_stands_there_with_it(page: Page, demo_url: str, width: int) -> None:
    """And is settled once the look is taken; a note at a step is kept for this machine."""
    page.set_viewport_size({"width": width, "height": 844})
    choose(page, demo_url, OWN)
    page.goto(f"{demo_url}/procedures/lamp-off.html")
    shown(page)
    look = page.locator(".hw-look").first
    assert "Look first" in look.inner_text() and "How is the lamp fixed?" in look.inner_text()
    assert look.locator(".hw-answer").count() == 2
    choose(page, demo_url, f"{OWN}&f.lamp=clamp")
    page.goto(f"{demo_url}/procedures/lamp-off.html")
    shown(page)
    assert page.locator(".hw-look").count() == 0 and page.locator(".hw-step").count() == 1
    page.locator(".hw-step summary", has_text="Note").click()
    page.locator(".hw-step textarea").fill("the band is cracked")
    page.get_by_role("button", name="Keep the note").click()
    notes = page.evaluate("JSON.parse(localStorage.getItem('handwheel.notes'))")
    assert [note["machine"] for note in notes] == [f"{OWN}&f.lamp=clamp"]
    assert notes[0]["digest"] and notes[0]["step"].startswith("lamp-")


def test_ticks_are_those_of_the_machine(page: Page, demo_url: str) -> None:
    choose(page, demo_url, FOREIGN)
    page.goto(f"{demo_url}/procedures/winder-off.html")
    shown(page)
    page.locator(".hw-do input").first.check()
    assert "1 of" in page.locator("[data-hw-progress]").inner_text()
    page.reload()
    shown(page)
    assert page.locator(".hw-do input").first.is_checked()
    choose(page, demo_url, OWN)
    page.goto(f"{demo_url}/procedures/winder-off.html")
    shown(page)
    assert not page.locator(".hw-do input").first.is_checked()
    page.get_by_role("button", name="Show it for every pattern").click()
    assert page.locator("#every").count() == 1 and page.locator("#bench").count() == 0


def test_another_machine_is_on_the_same_step(page: Page, demo_url: str) -> None:
    """From one pattern's page to another's, and from there to the machine on the bench."""
    choose(page, demo_url, FOREIGN)
    page.goto(f"{demo_url}/on/skerry-14/winder-back.html")
    shown(page)
    steps: list[str] = page.evaluate("[...document.querySelectorAll('.hw-step')].map(each => each.id)")
    page.goto(f"{demo_url}/on/skerry-14/winder-back.html#{steps[-1]}")
    page.reload()
    shown(page)
    page.evaluate("document.querySelector('.hw-step:last-of-type').scrollIntoView()")
    page.locator(".hw-machine:not(.hw-on-bench) .hw-actions a", has_text="Pattern 17").evaluate("each => each.click()")
    page.wait_for_url("**/on/skerry-17/winder-back.html#*")
    anchor = page.url.partition("#")[2]
    assert page.locator(f"[id='{anchor}']").count() == 1


def test_back_from_another_pattern_to_the_same_step(page: Page, demo_url: str) -> None:
    """The bar on another pattern's page leads to the step that is being read, on the machine on the bench."""
    choose(page, demo_url, OWN)
    page.goto(f"{demo_url}/on/skerry-14/head-in.html")
    shown(page)
    anchor = page.locator(".hw-step").nth(1).get_attribute("id")
    page.goto(f"{demo_url}/on/skerry-14/head-in.html#{anchor}")
    page.reload()
    shown(page)
    page.evaluate("anchor => document.getElementById(anchor).scrollIntoView()", anchor)
    page.get_by_role("link", name="The same for the machine on the bench").evaluate("each => each.click()")
    page.wait_for_url("**/procedures/head-in.html#*")
    assert page.url.partition("#")[2] == anchor
    shown(page)
    assert page.locator(f"[data-hw-ticks^='found/'] [id='{anchor}']").count() == 1


@pytest.mark.parametrize(("width", "scheme"), [(390, "light"), (1280, "dark")])
def test_the_state_stands_beside_each_step(page: Page, demo_url: str, width: int, scheme: str) -> None:
    """What the step does besides, what is off, loose and live; minutes; before and after; folded on a phone only."""
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(color_scheme="dark" if scheme == "dark" else "light")
    choose(page, demo_url, OWN)
    page.goto(f"{demo_url}/procedures/lamp-off.html")
    shown(page)
    step = page.locator("[data-hw-ticks^='found/'] .hw-step").first
    assert "Loosen the set screw" in step.locator(".hw-derived").inner_text()
    assert step.locator(".hw-state").evaluate("each => each.open") == (width == 1280)
    off = step.locator(".hw-state dt.hw-i-off + dd")
    assert off.text_content() == "lamp"
    assert "minute" in page.locator("[data-hw-ticks^='found/'] .hw-progress").inner_text()
    assert "Pull the plug out" in page.locator(".hw-before").inner_text()
    leaves = page.locator(".hw-leaves").inner_text()
    assert "(perhaps)" in leaves and "Look first: How is the lamp fixed?" in leaves
    assert axe_findings(page) == [] and small_targets(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.get_by_role("button", name="Show it for every pattern").click()
    assert page.locator(".hw-before").count() == 1 and page.locator(".hw-leaves").count() == 0


def test_keyboard_alone_from_the_looks_to_a_tick_and_away(page: Page, demo_url: str) -> None:
    """Tab, Enter and Space only: the machine is chosen, its procedure opened, a step ticked, the machine left."""
    page.goto(f"{demo_url}/identify.html#m=skerry&f.bed-edge=round&f.lamp-seat=socket&f.winder-seat=well")
    press(page, "Use this machine as found")
    page.wait_for_url("**/found.html#*")
    shown(page)
    press(page, "Take the bobbin winder off and strip it")
    page.wait_for_url("**/procedures/winder-off.html")
    shown(page)
    press(page, "", "Space")
    assert "1 of" in page.locator("[data-hw-ticks^='found/'] [data-hw-progress]").inner_text()
    page.keyboard.press("Home")
    page.evaluate("document.activeElement.blur()")
    with page.expect_navigation():
        press(page, "Leave this machine")
    expect(page.locator(".hw-on-bench")).to_have_count(0)


def press(page: Page, words: str, key: str = "Enter") -> None:
    """Go on with Tab to what bears these words, or to a tick, and press the key."""
    script = """words => {
        const here = document.activeElement;
        return words ? here.textContent === words : here.matches("[data-hw-ticks^='found/'] .hw-do input");
    }"""
    for _ in range(150):
        page.keyboard.press("Tab")
        if page.evaluate(script, words):
            assert page.evaluate("document.activeElement.matches(':focus-visible')")
            page.keyboard.press(key)
            return
    raise AssertionError(f"Tab never came to {words or 'a tick'!r}")


def test_a_screen_reader_hears_what_the_bar_and_the_steps_are(page: Page, demo_url: str) -> None:
    """Names and roles: the bar as a landmark with a name, headings in order, each tick named by its step."""
    choose(page, demo_url, FOREIGN)
    page.goto(f"{demo_url}/procedures/winder-off.html")
    shown(page)
    bench = page.get_by_role("complementary", name="Machine on the bench")
    assert bench.get_by_role("link", name="green one (Pattern 24)").count() == 1
    levels = page.evaluate("[...document.querySelectorAll('.hw-page :is(h1, h2, h3, h4)')].map(h => +h.tagName[1])")
    assert levels[0] == 1 and all(b - a <= 1 for a, b in pairwise(levels))
    work = page.locator("[data-hw-ticks^='found/']")
    names = work.locator(".hw-do span").all_inner_texts()
    assert len(names) > 2
    for name in names[:3]:
        assert work.get_by_role("checkbox", name=name.strip()).count() >= 1
    assert work.locator("[data-hw-progress]").evaluate("each => each.closest('[aria-live]') !== null")


def test_a_job_shows_what_it_has(page: Page, demo_url: str) -> None:
    choose(page, demo_url, f"{FOREIGN}&f.drive=belt-motor")
    page.goto(f"{demo_url}/jobs/full-restoration.html")
    shown(page)
    listed = page.locator(".hw-page .hw-links a").all_inner_texts()
    assert len(listed) > 20 and "Clean and grease the hand crank" not in listed
    assert "For the machine on the bench" in page.locator(".hw-page").inner_text()


def test_a_lost_part_is_named_and_its_steps_are_gone(page: Page, demo_url: str) -> None:
    choose(page, demo_url, f"{OWN}&f.drive=belt-motor&f.control=missing")
    assert "motor control missing" in bar(page)
    page.goto(f"{demo_url}/procedures/drive-off.html")
    shown(page)
    steps = page.locator("[data-hw-ticks^='found/'] .hw-step")
    anchors = steps.evaluate_all("all => all.map(each => each.id)")
    assert "belt-motor-out" in anchors and not {"knee-off", "pedal-away"} & set(anchors)


def test_a_machine_that_cannot_be_says_so(page: Page, demo_url: str) -> None:
    choose(page, demo_url, "m=skerry&v=skerry-24&f.lamp=hood")
    page.goto(f"{demo_url}/procedures/lamp-off.html")
    shown(page)
    assert "No machine shows all this. Look again: How is the lamp fixed?" in page.locator(".hw-page").inner_text()


def test_what_cannot_stand_is_not_offered_as_found(page: Page, demo_url: str) -> None:
    """Castings of pattern 24 and a tension unit that does not fit its bore: not until one is taken back."""
    seen = "f.bed-edge=round&f.lamp-seat=socket&f.tension=nut&f.winder-seat=well"
    page.goto(f"{demo_url}/identify.html#m=skerry&{seen}")
    expect(page.locator(".hw-sofar")).to_contain_text("it cannot be used as found")
    offer = page.get_by_role("button", name="Use this machine as found")
    assert offer.count() == 0
    page.get_by_role("button", name="Take back: tension unit: a plain thumb nut").click()
    expect(offer).to_have_count(1)


def test_what_is_not_there_cannot_be_chosen(page: Page, demo_url: str) -> None:
    page.goto(f"{demo_url}/index.html")
    script = "text => { try { handwheelFound.choose(text); return ''; } catch (error) { return error.message; } }"
    assert "family" in page.evaluate(script, "m=nobody")
    assert "variant" in page.evaluate(script, "m=skerry&v=holm-3")
    assert "feature" in page.evaluate(script, "m=skerry&f.nose=long")
    assert "form" in page.evaluate(script, "m=skerry&f.lamp=candle")
    assert page.evaluate("handwheelFound.read()") is None
    page.evaluate("localStorage.setItem('handwheel.machine', 'm=gone&f.x=y')")
    page.reload()
    expect(page.locator(".hw-on-bench")).to_have_count(0)


def test_from_the_file_system(page: Page, demo: Path) -> None:
    choose(page, demo.as_uri(), FOREIGN)
    page.goto(f"{demo.as_uri()}/procedures/winder-off.html")
    shown(page)
    assert page.locator("#bench").count() == 1 and page.locator(".hw-step").count() > 1


def test_without_storage_its_page_still_shows_it(chromium: Browser, demo_url: str) -> None:
    context = chromium.new_context()
    context.add_init_script("Storage.prototype.setItem = () => { throw new Error('off'); };")
    page = context.new_page()
    choose(page, demo_url, FOREIGN)
    assert "green one" in bar(page) and page.locator("[data-hw-found] .hw-links a").count() > 20
    context.close()


def test_a_name_is_text_and_nothing_else(page: Page, demo_url: str) -> None:
    choose(page, demo_url, FOREIGN.replace("green one", "<img src=x onerror=alert(1)>"))
    assert "<img src=x" in bar(page) and page.locator(".hw-on-bench img").count() == 0
    page.goto(f"{demo_url}/procedures/winder-off.html")
    shown(page)
    assert page.locator("[data-hw-ticks] img[src=x]").count() == 0
