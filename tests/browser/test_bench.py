"""Notes at the steps in a real browser: kept at once, handed out as one file, taken in, in the preview."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from browser.harness import axe_findings, build, served, small_targets
from handwheel.cli.main import main
from handwheel.pages.build import make_preview, make_site
from handwheel.pages.site import Site
from handwheel.reading.load import load

pytestmark = pytest.mark.browser
SHOP = """\
families: {plover: {name: Plover}}
variants: {first: {name: First, family: plover, made: {from: 1930, to: 1934}, features: {lamp: bracket}}}
features: {lamp: {ask: How is the lamp fixed?, look: Behind., forms: {bracket: on a bracket, none: no lamp}}}
readings:
  pull: {ask: Pull of the thread, unit: N, cuts: [0.60, 1.10], states: [slack, right, tight], good: [right]}
parts: {head: {root: true}}
procedures:
  thread:
    title: Thread it
    area: test
    steps:
      - {id: draw, do: Draw the thread., measures: [pull]}
      - {id: look, do: Look at it.}
"""
PAGE = "on/first/thread.html"


def make(folders: object) -> Site:
    """The small shop's site, for the build in another process."""
    return make_site([Path(os.environ["BENCH_SHOP"])])


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("bench") / "shop"
    folder.mkdir()
    (folder / "shop.yaml").write_text(SHOP, "utf-8")
    return folder


@pytest.fixture(scope="module")
def site(shop: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BENCH_SHOP", str(shop))
        return build(tmp_path_factory.mktemp("site") / "work", "browser.test_bench:make")


@pytest.fixture(scope="module")
def url(site: Path) -> Iterator[str]:
    with served(site) as root:
        yield root


def write(page: Page, step: str, text: str, name: str = "Keep the note") -> None:
    place = page.locator(f"#{step} .hw-bench")
    if not place.evaluate("e => e.open"):
        place.locator("summary").click()
    place.get_by_label("What you saw or did").fill(text)
    place.get_by_role("button", name=name).click()


def read(page: Page, value: str) -> None:
    place = page.locator("#draw .hw-bench")
    if not place.evaluate("e => e.open"):
        place.locator("summary").click()
    place.get_by_label("Pull of the thread in N").fill(value)
    place.get_by_role("button", name="Keep the reading").click()


def handed_out(page: Page, path: Path) -> Path:
    with page.expect_download() as download:
        page.get_by_role("button", name="Hand out as one file").click()
    download.value.save_as(path)
    return path


def test_from_the_bench_into_the_preview(page: Page, url: str, shop: Path, tmp_path: Path) -> None:
    """Written at two steps, kept over a reload, handed out, taken in twice, on the preview and not on the site."""
    page.goto(f"{url}/{PAGE}")
    write(page, "look", "The hook was dry <b>here</b>")
    write(page, "look", "It had no spring", "It went otherwise")
    read(page, "0,85")
    page.reload()
    assert page.locator("#look .hw-bench summary").inner_text() == "Note (2 kept)"
    page.goto(f"{url}/notes.html")
    path = handed_out(page, tmp_path / "notes.json")
    document = json.loads(path.read_text("utf-8"))
    assert (document["format"], document["version"], len(document["notes"])) == ("handwheel-notes", 1, 3)
    (tmp_path / "library").mkdir()
    command = ["take-in", str(path), str(shop), "--library", str(tmp_path / "library"), "--accept", "all"]
    assert main(command) == 0
    taken = (shop / "bench-notes.yaml").read_bytes()
    assert main(command) == 0
    assert (shop / "bench-notes.yaml").read_bytes() == taken
    library = load([shop])
    assert [each.machine for each in library.drafts.values()] == ["first", "first"]
    assert [each.values[0].text for each in library.measurements.values()] == ["0.85"]
    words = "The hook was dry &lt;b&gt;here&lt;/b&gt;"
    (shown,) = (each for each in make_preview([shop]).pages if each.path == PAGE)
    assert "Draft, not published" in shown.html and words in shown.html
    assert not [each.path for each in make_site([shop]).pages if "The hook was dry" in each.html + str(each.search)]
    page.get_by_role("button", name="Clear the notes").click()
    page.get_by_role("button", name="Yes, clear them").click()
    assert page.evaluate("localStorage.getItem('handwheel.notes')") is None


def test_a_number_is_asked_for_where_there_is_none(page: Page, url: str) -> None:
    page.goto(f"{url}/{PAGE}")
    read(page, "tight")
    assert "A number is wanted" in page.locator("#draw .hw-note-told").inner_text()
    assert page.evaluate("localStorage.getItem('handwheel.notes')") is None


def test_without_storage_the_notes_last_as_long_as_the_page_and_it_says_so(page: Page, url: str) -> None:
    page.add_init_script("Storage.prototype.setItem = () => { throw new Error('full'); }")
    page.goto(f"{url}/{PAGE}")
    write(page, "look", "Kept for now")
    assert "cannot keep it" in page.locator("#look .hw-note-told").inner_text()
    assert page.locator("#look .hw-notes li").count() == 1
    with page.expect_download() as download:
        page.locator("#look").get_by_role("button", name="Hand the notes out").click()
    assert json.loads(Path(download.value.path()).read_text("utf-8"))["notes"][0]["text"] == "Kept for now"


def test_damaged_storage_hinders_nothing(page: Page, url: str) -> None:
    page.goto(f"{url}/{PAGE}")
    for kept in ("{", "5", '[null, 3, {"step": 1}]', '{"a": 1}'):
        page.evaluate("kept => localStorage.setItem('handwheel.notes', kept)", kept)
        page.reload()
        write(page, "look", "still")
        assert page.locator("#look .hw-notes li").count() == 1


@pytest.mark.parametrize("width", [390, 1280])
def test_it_fits_thumbs_and_readers(page: Page, url: str, width: int) -> None:
    """Open folds, a kept note, the list: no finding at WCAG 2.2 AA, nothing under 44 pixels, nothing sideways."""
    page.set_viewport_size({"width": width, "height": 844})
    page.goto(f"{url}/{PAGE}")
    write(page, "look", "A note of some length that has to be broken over lines " * 3)
    read(page, "0.7")
    for name in (PAGE, "notes.html"):
        if name != PAGE:
            page.goto(f"{url}/{name}")
        assert axe_findings(page) + small_targets(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_it_works_from_the_file_system_and_by_keyboard(page: Page, site: Path) -> None:
    page.goto((site / PAGE).as_uri())
    page.locator("#look .hw-bench summary").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("By keys")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.locator("#look .hw-notes li span").inner_text() == "By keys"
    page.emulate_media(media="print")
    assert not page.locator("#look .hw-bench").is_visible()
