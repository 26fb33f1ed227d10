"""The Identify page from the file system: answers, takes back, keeps its state in the address, says what fits none."""

from __future__ import annotations

import json
import random
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser, Page, expect

from browser.harness import ROOT, axe_findings, small_targets
from handwheel.identify.answer import identify
from handwheel.identify.build import build_tables
from handwheel.identify.compile import answer_data, compiled, evidence_data
from handwheel.identify.made_up import Size, made_up
from handwheel.identify.subjects import names_of, plan_of, tables_for
from handwheel.identify.telling import sentence
from handwheel.pages.addresses import page_of
from handwheel.pages.found_pages import found_assets
from handwheel.pages.here import Desk
from handwheel.pages.identify_pages import identify_assets, identify_page
from handwheel.pages.own_assets import own_assets
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.library import Library
from identify_cases import random_evidence
from identify_script_cases import differences
from many_cases import made

pytestmark = pytest.mark.browser
VIEWS = [(390, 844, "light"), (1280, 900, "light"), (1280, 900, "dark")]
SETTLED = "#m=skerry&f.bed-edge=round&f.lamp-seat=socket&f.winder-seat=well&s=PC40010"
FRAME = (
    '<!doctype html><html lang="en"><title>{title}</title><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width"><link rel="stylesheet" href="assets/handwheel.css">'
    '<body data-md-color-scheme="default"><main class="hw-page md-typeset">{html}</main></html>'
)


@pytest.fixture(scope="module")
def library() -> Library:
    return load(folders_of(ROOT / "demo_content"))


@pytest.fixture(scope="module")
def address(library: Library, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The page in a plain frame, as a file."""
    folder: Path = tmp_path_factory.mktemp("identify")
    desk = Desk(library)
    for asset in (*own_assets(), *identify_assets(desk)):
        (folder / asset.path).parent.mkdir(parents=True, exist_ok=True)
        (folder / asset.path).write_bytes(asset.content)
    made = identify_page(desk)
    for family in library.families:
        for variant in library.variants_of(family):
            page = folder / page_of("variants", variant.id)
            page.parent.mkdir(parents=True, exist_ok=True)
            page.write_text(f"<title>{variant.name}</title>", "utf-8")
    (folder / made.path).write_text(FRAME.format(title=made.title, html=made.html), "utf-8")
    return (folder / made.path).as_uri()


def test_a_family_with_too_many_machines_as_found_offers_the_pattern(page: Page, tmp_path: Path) -> None:
    """Its machines as found have no pages, so none is offered, and it is said why; the pattern's page is."""
    desk = Desk(made(("plain",), ("round",), ("square",)))
    assets = [*own_assets(), *identify_assets(desk), *found_assets(desk)]
    assert not [each.path for each in assets if each.path.startswith("assets/found/")]
    for asset in assets:
        (tmp_path / asset.path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / asset.path).write_bytes(asset.content)
    there = identify_page(desk)
    framed = FRAME.format(title=there.title, html=there.html + '<script src="assets/found.js"></script>')
    (tmp_path / there.path).write_text(framed, "utf-8")
    page.goto((tmp_path / there.path).as_uri() + "#m=dipper&f.form-0=plain&f.form-1=plain")
    expect(page.locator(".hw-sofar")).to_contain_text("cannot be offered")
    assert page.get_by_role("link", name="Go to first").get_attribute("href") == page_of("variants", "first")
    assert page.get_by_role("button", name="Use this machine as found").count() == 0


def look_at(page: Page, name: str) -> None:
    page.click("text=Look at something else")
    page.get_by_role("button", name=name, exact=True).click()


def at(page: Page) -> str:
    """The address as the page itself has it: the driver hears of it a little later."""
    return str(page.evaluate("location.href"))


def told(page: Page) -> str:
    return page.inner_text(".hw-sentence")


@pytest.mark.parametrize(("width", "height", "scheme"), VIEWS, ids=["phone", "bench", "dark"])
@pytest.mark.parametrize("state", ["", "#m=skerry", "#m=skerry&c=serial", SETTLED])
def test_it_can_be_used(page: Page, address: str, width: int, height: int, scheme: str, state: str) -> None:
    page.set_viewport_size({"width": width, "height": height})
    page.emulate_media(color_scheme=scheme)
    page.goto(address + state)
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    assert axe_findings(page) == []
    assert small_targets(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert "null" not in page.inner_text("#hw-identify").split()


@pytest.mark.parametrize("width", [390, 1280])
def test_answers_lead_to_a_variant_and_back(page: Page, address: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(address)
    page.click("text=Skerry >> nth=0")
    for name, form in [("edge of the bed", "round"), ("seat for the winder", "well"), ("seat for the lamp", "socket")]:
        look_at(page, name)
        page.click(f"[data-hw-form={form}]")
    assert "Pattern 24" in told(page) and "Pattern 11" not in told(page)
    seen = at(page)
    assert seen.endswith("#m=skerry&f.bed-edge=round&f.lamp-seat=socket&f.winder-seat=well")
    sure = told(page)
    page.go_back()
    assert at(page).endswith("#m=skerry&f.bed-edge=round&f.winder-seat=well")
    page.goto("about:blank")
    page.goto(seen)
    page.reload()
    assert told(page) == sure
    page.get_by_role("button", name="Take back: edge of the bed: round").click()
    assert at(page).endswith("#m=skerry&f.lamp-seat=socket&f.winder-seat=well")
    page.goto(address + SETTLED)
    assert "Pattern 24" in told(page)


def test_this_or_that_and_not_seen(page: Page, address: str) -> None:
    page.goto(f"{address}#m=skerry")
    look_at(page, "bobbin winder")
    page.click("text=This or that")
    page.click("[data-hw-form=trip]")
    page.click("[data-hw-form=plain]")
    page.click("text=It is one of these")
    assert at(page).endswith("#m=skerry&f.winder=trip,plain")
    look_at(page, "edge of the bed")
    page.click("text=I cannot see it")
    assert at(page).endswith("&c=bed-edge")
    assert page.is_visible("text=edge of the bed: cannot be seen")
    asked = page.inner_text(".hw-one h2")
    page.click("text=Skip for now")
    assert page.inner_text(".hw-one h2") != asked


def test_a_part_that_is_missing(page: Page, address: str) -> None:
    """A lost control: an answer of its own, told back as what was seen, and never the reason for a pattern."""
    page.goto(f"{address}#m=skerry&f.bed-edge=round&f.lamp-seat=socket&f.winder-seat=well")
    before = told(page)
    look_at(page, "motor control")
    page.get_by_role("button", name="The part is missing").click()
    assert at(page).endswith("f.control=missing&f.lamp-seat=socket&f.winder-seat=well")
    assert page.is_visible("text=motor control: missing")
    assert "Pattern 24" in before and "Pattern 24" in told(page) and "not its own" not in told(page)
    said = page.inner_text("#hw-identify")
    assert "motor control is likely missing" in said and "is likely not its own" not in said
    page.get_by_role("button", name="Take back: motor control: missing").click()
    assert told(page) == before


OWN_FORMS = {
    "bed-edge": "round", "bright-parts": "chrome", "casting": "iron", "control": "pedal", "drive": "belt-motor",
    "finish": "enamel", "hook": "oscillating", "lamp-seat": "socket", "needle-plate": "lined",
    "regulator": "reverse", "winder": "button", "winder-seat": "well",
}  # fmt: skip
CASTINGS = {"bed-edge": "square", "lamp-seat": "blind", "winder-seat": "well", "regulator": "lever", "lamp": "hood"}
"""Of three patterns."""
FOREIGN = {**OWN_FORMS, "tension": "drum", "lamp": "clamp", "face-plate": "rings"}
"""Two parts from elsewhere."""
FEW = {"finish": "japan", "lamp": "hood", "bright-parts": "nickel", "lamp-seat": "slot", "bed-edge": "double"}
"""Of two patterns that other looks tell apart."""
ENDS = {
    "settled": ({**OWN_FORMS, "tension": "drum", "lamp": "link"}, "serial", "Enough was seen",
                ["It is Pattern 24 (98 in 100)", "No part that was looked at seems to come from elsewhere."], 1),
    "not its own": (FOREIGN, "serial", "Enough was seen",
                    ["not its own: lamp and face plate.", "Face plate is likely not its own: from another"], 1),
    "cannot stand": ({**OWN_FORMS, "tension": "nut", "lamp": "clamp"}, "serial", "What to do next",
                     ["It may be Pattern 24", "cannot have tension unit: a plain thumb nut. Their studs are loose"], 1),
    "number of another": ({**OWN_FORMS, "tension": "drum", "lamp": "link"}, "TAD15000", "What to do next",
                          ["It may be Pattern 24", "The serial number is one of Pattern 11", "Read it again"], 1),
    "number of none": ({**OWN_FORMS, "tension": "drum", "lamp": "link"}, "ZZ9", "What to do next",
                       ["It may be Pattern 24", "The serial number is none of those written down"], 1),
    "fits none": (CASTINGS, "serial", "What to do next",
                  ["It fits none", "a part that never changes hands", "send it to whoever writes these pages"], 0),
}  # fmt: skip


def see_no_more(page: Page) -> None:
    """Answer every look that is left with `I cannot see it`."""
    asked = page.locator(".hw-one button:text-is('I cannot see it')")
    for _ in range(20):
        if not asked.count():
            return
        before = page.inner_text(".hw-one h2")
        asked.click()
        expect(page.locator(".hw-one h2")).not_to_have_text(before)
    raise AssertionError("it asks for ever")


@pytest.mark.parametrize("end", ENDS)
def test_the_end_says_what_to_do(page: Page, address: str, end: str) -> None:
    """Once nothing is left to ask: what it is, what is not its own, what may be wrong or was not seen, where to go."""
    forms, serial, heading, words, leads = ENDS[end]
    seen = "&".join(f"f.{feature}={form}" for feature, form in forms.items())
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{address}#m=skerry&{seen}&c=mass{',serial' if serial == 'serial' else f'&s={serial}'}")
    see_no_more(page)
    assert page.inner_text(".hw-one h2") == heading
    said = page.inner_text(".hw-sofar") + page.inner_text(".hw-one")
    assert [each for each in words if each not in said] == []
    assert page.inner_text(".hw-sofar .hw-label") == "Skerry"
    assert page.locator("a:text-is('Go to Pattern 24')").count() == leads
    if end in ("cannot stand", "fits none"):
        assert axe_findings(page) == [] and small_targets(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_what_was_not_seen_is_offered_again_at_the_end(page: Page, address: str) -> None:
    page.goto(f"{address}#m=skerry&{'&'.join(f'f.{feature}={form}' for feature, form in FEW.items())}&c=mass,serial")
    see_no_more(page)
    assert page.evaluate("document.activeElement.matches('.hw-sofar')"), "from here the next key leads on"
    assert told(page).startswith("It may be Pattern 11 or Pattern 14")
    assert "drive\nnot seen: it may still tell" in page.inner_text(".hw-one")
    page.get_by_role("button", name="Look now: drive", exact=True).click()
    page.click("[data-hw-form=pillar-motor]")
    expect(page.locator(".hw-sentence")).to_contain_text("Pattern 11")
    expect(page.locator(".hw-sentence")).not_to_contain_text("Pattern 14")
    assert "drive" not in at(page).partition("&c=")[2]


def test_markings_serial_and_mass(page: Page, address: str) -> None:
    page.goto(f"{address}#m=skerry")
    page.click("text=What is written on it?")
    assert page.is_visible("text=It does not tell")
    page.get_by_role("button", name="plate with the drawing number: It is there").click()
    assert at(page).endswith("k.number-plate=yes") and "Pattern 11" in told(page)
    page.goto(f"{address}#m=skerry")
    page.fill("#hw-reading", "TAD1$")
    page.click("text=Use it")
    assert "neither letter nor digit" in page.inner_text("#hw-reading-wrong")
    page.fill("#hw-reading", "? ??")
    page.click("text=Use it")
    assert "choose “I cannot read it”" in page.inner_text("#hw-reading-wrong")
    page.fill("#hw-reading", "TAD1?500")
    page.click("text=Use it")
    assert "Pattern 11" in told(page)
    assert at(page).endswith("s=TAD1%3F500")


def test_keyboard_alone(page: Page, address: str) -> None:
    page.goto(f"{address}#m=skerry&c=mass,serial")
    before = page.inner_text(".hw-one h2")
    page.keyboard.press("1")
    expect(page.locator(".hw-one h2")).not_to_have_text(before)
    assert page.evaluate("document.activeElement.matches('.hw-one h2')")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.matches(':focus-visible[data-hw-form]')")
    page.keyboard.press("Enter")
    assert at(page).count("&f.") == 2


def test_a_casting_said_to_be_missing_is_named(page: Page, address: str) -> None:
    page.goto(f"{address}#m=skerry&f.bed-edge=missing")
    assert "edge of the bed: missing" in " ".join(page.locator(".hw-remark").all_inner_texts())


def test_what_is_put_off_stands_in_the_address(page: Page, address: str) -> None:
    page.goto(f"{address}#m=skerry")
    asked = page.inner_text(".hw-one h2")
    page.click("text=Skip for now")
    assert "&skip=" in at(page)
    page.reload()
    assert page.inner_text(".hw-one h2") != asked
    page.go_back()
    assert page.inner_text(".hw-one h2") == asked


def test_where_the_number_stands_is_told(page: Page, address: str, library: Library) -> None:
    page.goto(f"{address}#m=skerry&c=mass")
    page.click("text=What is written on it?")
    page.get_by_role("button", name="serial number", exact=True).click()
    assert page.inner_text(".hw-one .hw-where") == library.families["skerry"].serial_look


def test_keyboard_alone_as_far_as_the_pattern(page: Page, address: str) -> None:
    """Tab, enter and digits only, from the choice of the family to the page of the variant; what is said is live."""
    page.goto(address)
    page.keyboard.press("Tab")
    while page.evaluate("document.activeElement.textContent") != "Skerry":
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    own = page.evaluate("handwheelIdentifyData.skerry.looks") and {
        "bed-edge": "round", "lamp-seat": "socket", "winder-seat": "well", "lamp": "link", "regulator": "reverse",
        "finish": "enamel", "winder": "button", "tension": "drum", "block": "three-pin",
    }  # fmt: skip
    said = page.inner_text(".hw-live")
    for _ in range(30):
        if page.locator("a:text('Go to')").count():
            break
        shown = page.evaluate("[...document.querySelectorAll('[data-hw-form]')].map(each => each.dataset.hwForm)")
        form = next((i for i, each in enumerate(shown) if each in own.values()), None)
        if form is not None:
            page.keyboard.press(str(form + 1))
        else:
            press(page, "Skip for now")
    assert page.get_attribute(".hw-live", "aria-live") == "polite"
    assert page.inner_text(".hw-live") == told(page) != said
    assert page.evaluate("document.activeElement.matches('.hw-one h2, .hw-sofar')")
    press(page, "Go to Pattern 24")
    page.wait_for_url("**/skerry-24*")


def press(page: Page, words: str) -> None:
    """Go on with Tab to what bears these words, and press it."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") == words:
            page.keyboard.press("Enter")
            return
    raise AssertionError(f"Tab never came to {words!r}")


def test_impossible_evidence_is_said(page: Page, address: str) -> None:
    """Where no look can be wrong and every pattern is written down, castings of two patterns are impossible."""
    page.goto(f"{address}#m=skerry")
    page.evaluate(
        """() => {
          const engine = handwheelIdentifyData.skerry.engine;
          engine.wrong = {sure: 0, doubtful: 0, checked: 0};
          engine.fitsNone.forEach((none, h) => { if (none) engine.histories[h] = 0; });
          location.hash = "#m=skerry&f.bed-edge=round&f.lamp-seat=slot&f.winder-seat=well";
        }"""
    )
    expect(page.locator(".hw-sentence")).to_have_text("No machine shows all this: some look must be wrong.")
    assert page.inner_text(".hw-one h2") == "Some look must be wrong"
    assert page.locator("button:text('Take back')").count() == 3
    assert page.locator("a:text('Go to'), [data-hw-form]").count() == 0


def test_on_paper_stands_what_was_seen_and_where(page: Page, address: str) -> None:
    page.goto(address + SETTLED)
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    for shown in (
        "seat for the winder: a round well",
        "What still fits",
        "#m=skerry&f.bed-edge=round",
        "Pattern 11 left",
    ):
        assert page.locator(f"text={shown}").first.is_visible(), shown
    assert not page.locator("button:visible, h2:text('On paper'):visible, [data-hw-form]:visible").count()


def test_every_pattern_of_a_large_family_is_explained(page: Page, address: str) -> None:
    tables = build_tables(made_up(random.Random(5), Size(30, 10)))
    page.goto(f"{address}#m=skerry")
    page.evaluate(
        """engine => {
          const looks = {};
          engine.traits.forEach(each => {
            const forms = {};
            each.answers.forEach(form => { forms[form] = {name: form, figure: ""}; });
            const words = {ask: each.id, where: "", how: "", effort: "a glance", swapped: ""};
            looks[each.id] = {...words, answers: each.answers, forms};
          });
          const first = engine.traits[0];
          handwheelIdentifyData.many = {...handwheelIdentifyData.skerry, engine, looks, markings: {}, places: []};
          location.hash = `#m=many&f.${first.id}=${first.answers[0]}`;
        }""",
        compiled(tables),
    )
    page.click("text=Why not the others")
    expect(page.locator(".hw-fits > li a")).not_to_have_count(0)
    page.locator(".hw-fits > li > a, details .hw-plain > li > a").nth(29).wait_for(state="attached")
    named = page.evaluate(
        "[...document.querySelectorAll('.hw-fits > li > a, details .hw-plain > li > a')].map(a => a.textContent)"
    )
    assert sorted(named) == sorted(tables.variants)


def test_what_cannot_be_is_not_settled(page: Page, address: str) -> None:
    """Castings of three patterns on one machine: it fits none, and the page says so."""
    page.goto(f"{address}#m=skerry&f.bed-edge=double&f.winder-seat=well&f.lamp-seat=blind&f.regulator=reverse&s=ZZ9")
    assert "fits none" in told(page)
    assert page.locator("text=No pattern left the works with").count() > 0
    assert page.locator("a:text('Go to')").count() == 0
    page.goto("about:blank")
    page.goto(f"{address}#m=skerry&f.nonsense=x")
    assert "cannot be read" in page.inner_text("[role=alert]")
    page.goto("about:blank")
    page.goto(f"{address}#m=toString")
    assert "written down here" in page.inner_text("[role=alert]")


def test_a_look_in_doubt_is_taken_again(page: Page, address: str) -> None:
    """A second look that gives the same is kept in the address, counts, and goes with the look; no other offers it."""
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{address}#m=skerry&f.bed-edge=round&f.lamp-seat=blind&f.winder-seat=well")
    assert told(page).startswith("It may be Pattern 24, built"), "in doubt, but the pattern leads"
    twice = "Looked again, the same"
    said = "seat for the lamp: neither slot nor socket"
    assert page.locator(f"button:text-is('{twice}')").count() == 1
    page.get_by_role("button", name=f"{twice}: {said}", exact=True).click()
    expect(page.get_by_text(f"{said} (looked twice)", exact=True)).to_have_count(1)
    assert page.locator(f"button[aria-label*='{twice}: seat for the lamp']").count() == 0
    assert at(page).endswith("&f.winder-seat=well&again=lamp-seat")
    page.reload()
    assert told(page).startswith("It may be a pattern not written down (")
    assert ", or Pattern 17 or Pattern 24, built" in told(page)
    assert page.inner_text(".hw-fits > li >> nth=0").startswith("A pattern not written down here")
    assert axe_findings(page) == [] and small_targets(page) == []
    page.get_by_role("button", name=f"Take back: {said} (looked twice)", exact=True).click()
    assert at(page).endswith("#m=skerry&f.bed-edge=round&f.winder-seat=well")
    expect(page.locator(f"button:text-is('{twice}')")).to_have_count(0)


def test_without_a_script_it_leads_on(chromium: Browser, address: str) -> None:
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address)
    assert page.is_visible("text=none runs here") and page.is_visible("text=Key on paper >> nth=0")
    assert page.get_attribute("a:text('Key on paper')", "href") == "keys/skerry.html"
    context.close()


@pytest.mark.parametrize("count", [16, pytest.param(100, marks=pytest.mark.long)])
def test_machines_are_as_the_engine_says(page: Page, address: str, library: Library, count: int) -> None:
    """Answers and sentences from the page's own data equal those of the engine here."""
    page.goto(address)
    cases, expected, said = [], [], []
    for number in range(count):
        family = ("skerry", "holm")[number % 2]
        tables, names = tables_for(library, family), names_of(library, family)
        evidence = random_evidence(random.Random(f"page/{number}"), tables.subject, (0.0, 0.2, 0.5, 1.0)[number % 4])
        answer = identify(tables, evidence, plan_of(library))
        cases.append([family, evidence_data(evidence)])
        expected.append(answer_data(answer))
        said.append(sentence(tables, answer, names))
    found = page.evaluate(
        """cases => JSON.stringify(cases.map(([family, evidence]) => {
          const data = handwheelIdentifyData[family];
          const answer = handwheelIdentify.identify(data.engine, evidence);
          return [answer, handwheelIdentifyPage.sentence(data, answer)];
        }))""",
        cases,
    )
    answers = json.loads(found)
    assert differences(expected, [each[0] for each in answers]) == []
    assert [each[1] for each in answers] == said
    assert len(set(said)) > count / 5


def test_the_address_keeps_every_name(page: Page, address: str) -> None:
    page.goto(f"{address}#m=skerry&n={quote('green one, Mrs Lund & son')}&f.lamp=hood")
    again = page.evaluate("handwheelIdentifyPage.writeState(handwheelIdentifyPage.readState(location.hash))")
    assert again == "m=skerry&f.lamp=hood&n=green+one,+Mrs+Lund+%26+son"
