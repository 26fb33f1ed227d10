"""The page of features draws each form that has a figure, and is found by its words alone."""

from __future__ import annotations

import html
from pathlib import Path

import pytest

from handwheel.pages.here import Desk
from handwheel.pages.site import Page
from handwheel.pages.table_pages import table_pages
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.library import Library


@pytest.fixture(scope="module")
def demo() -> Library:
    return load(folders_of(Path(__file__).parents[2] / "demo_content"))


@pytest.fixture(scope="module")
def page(demo: Library) -> Page:
    return next(page for page in table_pages(Desk(demo)) if page.path == "features.html")


def test_each_figure_of_a_form_stands_there(demo: Library, page: Page) -> None:
    figures = [form.figure for each in demo.features.values() for form in each.forms.values() if form.figure]
    assert len(figures) > 50
    missing = [each for each in figures if f'aria-label="{html.escape(demo.of("figures")[each].alt)}"' not in page.html]
    assert missing == []


def test_every_form_of_the_hook_is_drawn(demo: Library) -> None:
    """Told by looking, on machines that the shop has not too."""
    assert [form for form, made in demo.features["hook"].forms.items() if not made.figure] == []


def test_the_search_has_the_words_and_no_caption(demo: Library, page: Page) -> None:
    (entry,) = (each for each in page.search if each.location.endswith("#feature-hook"))
    assert demo.features["hook"].forms["rotary"].name in entry.text
    assert demo.of("figures")["hook-round"].caption not in entry.text
    assert "Hook that goes round" not in entry.text
