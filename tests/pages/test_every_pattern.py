"""The page of a procedure for every pattern says what it takes for granted, and on which patterns."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.pages.here import Desk
from handwheel.pages.procedure_pages import procedure_pages
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

DEMO = Path(__file__).parents[2] / "demo_content"


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    return {page.path: page.html for page in procedure_pages(Desk(load(folders_of(DEMO))))}


def before(html: str) -> list[str]:
    """What stands under "Before you start"."""
    found = re.search(r'<section class="hw-before">(.*?)</section>', html, re.DOTALL)
    return re.findall(r"<li>(.*?)</li>", found[1]) if found else []


def test_what_holds_on_every_pattern_is_said_plainly(pages: dict[str, str]) -> None:
    assert "Pull the plug out and keep it in sight." in before(pages["procedures/motor-bench.html"])


def test_what_holds_on_some_is_said_with_their_names(pages: dict[str, str]) -> None:
    plug = next(each for each in before(pages["procedures/tension-off.html"]) if "plug" in each)
    assert "as built on Pattern 11" in plug and "Pattern 17" not in plug


def test_it_is_what_the_pages_of_the_variants_say(pages: dict[str, str]) -> None:
    """Each need of a variant's page stands on the page for every pattern, whatever the depth of its links."""

    def words(html: str) -> set[str]:
        return {re.sub(r"<[^>]+>| <small>.*", "", each) for each in before(html)}

    for path, html in pages.items():
        if path.startswith("on/"):
            assert words(html) <= words(pages[f"procedures/{path.rsplit('/', 1)[1]}"]), path
