"""The printed key leads each pattern to its name, in order, and says what tells neighbours apart."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.identify.key import neighbours, printed_key
from handwheel.identify.subjects import names_of, plan_of, tables_for
from handwheel.pages.here import Desk
from handwheel.pages.home_page import navigation
from handwheel.pages.key_pages import asked_before, dearer_of, key_page_of, key_pages
from handwheel.pages.machine_pages import family_pages
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.records.library import Library

DEMO = Path(__file__).parents[2] / "demo_content"


@pytest.fixture(scope="module")
def library() -> Library:
    return load(folders_of(DEMO, None))


@pytest.fixture(scope="module")
def htmls(library: Library) -> dict[str, str]:
    return {page.path: page.html for page in key_pages(Desk(library))}


def _sections(html: str) -> dict[int, str]:
    found = re.findall(r'<section class="hw-keyed" id="question-(\d+)">(.*?)</section>', html, re.DOTALL)
    return {int(number): text for number, text in found}


def test_each_family_has_a_key_that_asks_every_question_of_the_engine(library: Library, htmls: dict[str, str]) -> None:
    assert set(htmls) == {key_page_of(family) for family in library.families}
    for family in library.families:
        key = printed_key(tables_for(library, family), plan_of(library).seconds, dearer=dearer_of(library))
        sections = _sections(htmls[key_page_of(family)])
        assert list(sections) == [question.number for question in key.questions]
        for question in key.questions:
            feature = library.features[question.feature]
            assert feature.ask in sections[question.number] and feature.look in sections[question.number]


def test_following_the_printed_numbers_ends_in_the_variant(library: Library, htmls: dict[str, str]) -> None:
    """Reads the page as a person does: the form's name, then the number or the pattern that it sends to."""
    for variant in library.variants.values():
        html = _sections(htmls[key_page_of(variant.family)])
        key = printed_key(tables_for(library, variant.family), plan_of(library).seconds, dearer=dearer_of(library))
        names = names_of(library, variant.family)
        number, steps = 1, 0
        while steps < 20:
            steps += 1
            feature = key.questions[number - 1].feature
            form = names.form(feature, variant.features[feature][0])
            way = next(each for each in html[number].split("<li>")[1:] if re.search(rf'hw-form">(or )?{form}<', each))
            onward = re.search(r'href="#question-(\d+)"', way)
            if onward is None:
                break
            assert int(onward[1]) > number
            number = int(onward[1])
        assert f"variants/{variant.id}.html" in way


def test_a_question_about_an_exchanged_part_says_so(library: Library, htmls: dict[str, str]) -> None:
    told = 0
    for family in library.families:
        key = printed_key(tables_for(library, family), plan_of(library).seconds, dearer=dearer_of(library))
        for question in key.questions:
            swapped = library.features[question.feature].swapped
            section = _sections(htmls[key_page_of(family)])[question.number]
            assert ("exchanged" in section) == (swapped != "never")
            told += 1
    assert told


def test_an_end_is_confirmed_by_castings_not_asked_on_the_way(library: Library, htmls: dict[str, str]) -> None:
    """Each end names up to three glances at castings, the drawn ones with their drawing; none was just answered."""
    drawn = ends = 0
    for family in library.families:
        key = printed_key(tables_for(library, family), plan_of(library).seconds, dearer=dearer_of(library))
        names, before = names_of(library, family), asked_before(key)
        for number, section in _sections(htmls[key_page_of(family)]).items():
            asked = before[number] | {key.questions[number - 1].feature}
            for end in re.findall(r'<ul class="hw-confirm">(.*?)</ul>', section, re.DOTALL):
                ends += 1
                drawn += end.count("<figure")
                assert 1 <= end.count("<li>") <= 3
                assert not any(f"<span>{names.feature(each)}:" in end for each in asked)
    assert ends == len(library.variants) and drawn >= ends


def test_castings_with_drawings_are_asked_where_they_settle_it(library: Library) -> None:
    """Every pattern pair of the demo but one is parted by a casting; the key asks a swapped part only there."""
    key = printed_key(tables_for(library, "skerry"), plan_of(library).seconds, dearer=dearer_of(library))
    kinds = [library.features[question.feature].swapped for question in key.questions]
    assert kinds[0] == "never" and kinds.count("often") <= 1


def test_neighbours_stand_side_by_side(library: Library, htmls: dict[str, str]) -> None:
    for family in library.families:
        html = htmls[key_page_of(family)].split('id="neighbours"')[1]
        names = names_of(library, family)
        for first, second, told in neighbours(tables_for(library, family)):
            part = html.split(f"<h3>{names.variant(first)} or {names.variant(second)}</h3>")[1].split("<h3>")[0]
            assert part.count('<th scope="row">') == len(told) > 0


def test_it_is_reached_from_the_family_and_the_navigation(library: Library) -> None:
    desk = Desk(library)
    for page in family_pages(desk):
        if page.path.startswith("families/"):
            assert f'href="../keys/{page.path.split("/")[1]}"' in page.html
    children = [child.path for item in navigation(desk) for child in item.children]
    assert {key_page_of(family) for family in library.families} <= set(children)
