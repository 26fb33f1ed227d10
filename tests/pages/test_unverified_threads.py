"""The special inch threads of sewing machines bear 'unverified' wherever they show.

Their pairs of diameter and pitch are from memory: JIS B 0226 once covered the class, and no table of it could be
opened. A name without the mark would look like any other name.
"""

from __future__ import annotations

import html
import json
import re
import shutil
from collections.abc import Iterable
from pathlib import Path

import pytest

from handwheel.checks.runner import run
from handwheel.cli.main import main
from handwheel.desk.explaining import explain
from handwheel.engineering.screws import Reading, identify
from handwheel.engineering.thread_series import all_threads, measured_thread, thread
from handwheel.engineering.threads import Form
from handwheel.pages.build import site_of
from handwheel.pages.here import Desk
from handwheel.pages.part_pages import part_pages
from handwheel.pages.screw_page import screw_asset, screw_page
from handwheel.pages.site import Page
from handwheel.pages.table_pages import table_pages
from handwheel.procedures.resolve import resolve
from handwheel.procedures.shown import as_lines
from handwheel.procedures.writer import AsBuilt
from handwheel.reading.load import load
from handwheel.records.library import Library

ROOT = Path(__file__).parents[2]
SPECIAL = re.compile(r"SM \d+/\d+-\d+")
NEAR = 60
"""The mark stands right behind the name, or the sentence that names the thread says the word."""
STEP = '      - {id: thread-looked, do: "Look at <see sm-9-64-40> and at <fasteners unit-screw>."}\n'


def unmarked(text: str) -> list[str]:
    """Places where a special inch thread is named and the mark is not."""
    return [
        text[max(0, found.start() - NEAR) : found.end() + NEAR]
        for found in SPECIAL.finditer(text)
        if "unverified" not in text[found.end() : found.end() + NEAR].casefold()
    ]


def plain(markup: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", markup)).split())


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    """A small shop one of whose screws has such a thread, quoted by a step."""
    shop = Path(shutil.copytree(ROOT / "tests" / "checks" / "shop", tmp_path_factory.mktemp("special") / "shop"))
    path = shop / "tension.yaml"
    text = path.read_text("utf-8").replace("thread: ba-3", "thread: sm-9-64-40", 1)
    text = re.sub(r"(?m)^(  pull-set:\n(?:    .*\n)*?    steps:\n)", rf"\g<1>{STEP}", text, count=1)
    assert "sm-9-64-40" in text
    assert "<see sm-9-64-40>" in text
    path.write_text(text, "utf-8")
    return load([ROOT / "content", shop])


def all_marked(pages: Iterable[Page]) -> set[str]:
    """Paths of the pages that name such a thread; each bears the mark there and in its search entries."""
    naming = set()
    for page in pages:
        texts = [plain(str(page.html)), *(f"{each.title} {each.text}" for each in page.search)]
        assert [bare for text in texts for bare in unmarked(text)] == [], page.path
        if any(SPECIAL.search(text) for text in texts):
            naming.add(page.path)
    return naming


def test_on_tables_screw_page_and_parts(library: Library) -> None:
    desk = Desk(library)
    naming = all_marked((*table_pages(desk), screw_page(desk), *part_pages(desk)))
    assert {"fasteners.html", "threads.html", "screw.html", "sources.html"} <= naming


@pytest.mark.long
def test_on_every_page_of_the_site(library: Library) -> None:
    naming = all_marked(site_of(library, run(library)).pages)
    assert {"fasteners.html", "threads.html", "screw.html", "sources.html", "checks.html"} <= naming
    assert any("pull-set" in path for path in naming)


def test_in_the_data_of_the_screw_page(library: Library) -> None:
    """Each thread's own words, and its look-alikes; the bare name is only what the script sorts by."""
    source = screw_asset(library).content.decode()
    data = json.loads(source[source.index("{") : source.rindex(";")])
    special = [each for each in data["threads"] if SPECIAL.search(each["name"])]
    assert len(special) == 22
    assert not any(each["verified"] for each in special)
    told = [text for each in data["threads"] for text in (each["told"], *each["beware"])]
    assert sum(bool(SPECIAL.search(text)) for text in told) > 22
    assert [bare for text in told for bare in unmarked(text)] == []


def test_in_the_steps_as_text(library: Library) -> None:
    machine = AsBuilt(next(variant for variant in library.variants.values() if variant.family == "skerry").id)
    lines = list(as_lines(library, resolve(library, "skerry", machine, "pull-set")))
    assert any(SPECIAL.search(line) for line in lines)
    assert [bare for line in lines for bare in unmarked(line)] == []


@pytest.mark.parametrize("name", [each.name for each in all_threads() if each.series == "special inch"])
def test_every_one_at_the_command_line(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Measured at its nominal size, it is a candidate; each line that names one of its kind bears the mark."""
    found = thread(name)
    sizes = ["--diameter", f"{found.diameter * 1e3:.3f} mm", "--pitch", f"{found.pitch * 1e3:.4f} mm"]
    assert main(["screw", *sizes]) == 0
    out = capsys.readouterr().out
    assert name in out
    assert [bare for line in out.splitlines() for bare in unmarked(line)] == []
    assert main(["screw", *sizes, "--json"]) == 0
    for each in json.loads(capsys.readouterr().out)["candidates"]:
        special = bool(SPECIAL.search(each["thread"]))
        assert not (special and each["verified"])
        assert all(SPECIAL.search(other["thread"]) is None or not other["verified"] for other in each["beware_of"])
        assert [bare for other in each["same_sizes_as"] for bare in unmarked(other)] == []


def test_in_an_explanation(library: Library) -> None:
    meanings = explain(library, "sm-9-64-40").meanings
    assert [each.name for each in meanings] == ["SM 9/64-40 (unverified)"]


def test_until_the_shop_has_measured_it() -> None:
    """A measured thread is named without the mark, and a remembered one never settles a question."""
    mine = measured_thread("my 9/64-40", Form.UNIFIED, 0.00357, 0.000635, "bench book")
    assert mine.called == "my 9/64-40"
    assert thread("SM 9/64-40").called == "SM 9/64-40 (unverified)"
    reading = Reading(0.00352, 0.00005, 0.000635, 0.00001)
    assert identify(reading, [thread("SM 9/64-40")]).settled is None
