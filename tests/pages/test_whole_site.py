"""The whole site of a small shop: what stands on its pages, and what never does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from handwheel.pages.build import make_site
from handwheel.pages.search_entries import entries_of
from handwheel.pages.site import Page, Site
from handwheel.procedures.resolve import AsBuilt, Resolver
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from written_small import SHOP, write_shop

HOSTILE = "<script>alert(1)</script> {{ 7*7 }} {% raw %} &lt; <b>x</b> \u202eabc \" onload='x'"


def site_of_text(folder: Path, text: str = SHOP) -> Site:
    """The site of a shop written so."""
    return make_site(folders_of(write_shop(folder, text), None))


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    """The site of the small shop."""
    return site_of_text(tmp_path_factory.mktemp("small"))


def page(site: Site, path: str) -> Page:
    """The page at a path."""
    return next(each for each in site.pages if each.path == path)


def anchors(found: Page) -> list[str]:
    """Anchors of the steps on a page, in order."""
    return re.findall(r'class="hw-step[^"]*"[^>]*id="([^"]+)"|id="([^"]+)"[^>]*class="hw-step[" ]', found.html)


def step_anchors(found: Page) -> list[str]:
    """The same, flat."""
    return [one or other for one, other in anchors(found)]


@pytest.mark.parametrize(
    ("variant", "own", "others"),
    [
        ("plover-first", ["folding bracket"], ["threaded stalk", "Draw the"]),
        ("plover-second", ["threaded stalk"], ["folding bracket", "Lift the"]),
    ],
)
def test_nothing_of_another_pattern(site: Site, variant: str, own: list[str], others: list[str]) -> None:
    """No step and no part of the sibling; all of its own, the shared run included."""
    html = page(site, f"on/{variant}/lamp-off.html").html
    assert [each for each in [*own, "Wipe the old oil off"] if each not in html] == []
    assert [each for each in others if each in html] == []


def test_steps_on_each_page_are_those_that_resolving_gives(site: Site, tmp_path: Path) -> None:
    """The very anchors, in order, nothing else."""
    resolver = Resolver(load(folders_of(write_shop(tmp_path), None)), "plover")
    for variant in ("plover-first", "plover-second"):
        wanted = [step.anchor for step in resolver.resolve("lamp-off", AsBuilt(variant)).steps]
        assert len(wanted) == 4
        assert step_anchors(page(site, f"on/{variant}/lamp-off.html")) == wanted


def test_a_step_of_some_patterns_leads_to_its_siblings_page(site: Site) -> None:
    """From the step to the same step on the other pattern that has it; from the page to every pattern."""
    html = page(site, "on/plover-first/lamp-off.html").html
    assert 'href="../../on/plover-third/lamp-off.html#bracket-off"' in html
    assert 'href="../../on/plover-second/lamp-off.html"' in html
    assert "plover-second/lamp-off.html#" not in html


def test_one_hit_a_step_with_its_machines(site: Site) -> None:
    """A step that two patterns share is found once; each hit says for which machines it holds."""
    hits = [entry for entry in entries_of(site) if "Wipe the old oil off" in entry.text]
    assert len(hits) == 1 and "Holds for every pattern." in hits[0].text
    own = [entry for entry in entries_of(site) if "Draw the threaded stalk out" in entry.text]
    assert len(own) == 1 and "Plover two" in own[0].text and "Plover one" not in own[0].text


def test_anchors_stay_when_an_unrelated_step_comes(site: Site, tmp_path: Path) -> None:
    """A step put in before all others changes no anchor and no address."""
    more = SHOP.replace("      - {id: cool", "      - {id: cover, do: Lay a cloth under it.}\n      - {id: cool")
    changed = site_of_text(tmp_path, more)
    assert [each.path for each in changed.pages] == [each.path for each in site.pages]
    for variant in ("plover-first", "plover-second"):
        path = f"on/{variant}/lamp-off.html"
        assert step_anchors(page(changed, path)) == ["cover", *step_anchors(page(site, path))]


def test_text_stays_text(tmp_path: Path) -> None:
    """Markup, template syntax and a mark that turns the direction, in names, questions, titles and steps."""
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    text = SHOP
    for field, old in [
        ("name", "threaded stalk"),
        ("name", "Plover two"),
        ("ask", "How is the lamp held?"),
        ("title", "Take the lamp off"),
    ]:
        assert f"{field}: {old}" in text
        text = text.replace(f"{field}: {old}", f"{field}: {quoted}")
    made = site_of_text(tmp_path, text)
    shown = [each for each in made.pages if "alert(1)" in each.html]
    assert len(shown) > 5
    wrong = [each.path for each in shown if "<script>alert" in each.html or "<b>x</b>" in each.html]
    assert wrong == []
    assert [each.path for each in shown if "{{ 7*7 }}" not in each.html] == []
    assert [each.path for each in shown if re.search(r"<[^>]*\sonload='x'[^>]*>", each.html)] == []


def test_the_same_content_gives_the_same_site(site: Site, tmp_path: Path) -> None:
    """Pages, navigation, assets and search, wherever the shop lies."""
    again = site_of_text(tmp_path)
    assert [each.path for each, other in zip(again.pages, site.pages, strict=True) if each.html != other.html] == []
    assert again.nav == site.nav and again.assets == site.assets
    assert list(entries_of(again)) == list(entries_of(site))


@pytest.mark.parametrize("variant", ["plover-first", "plover-second"])
def test_the_contents_list_names_each_section_of_a_variant(site: Site, variant: str) -> None:
    """Sections come and go with what is known; the list follows, in the order of the page."""
    found = page(site, f"variants/{variant}.html")
    sections = re.findall(r'<h2 id="([^"]+)">([^<]+)</h2>', found.html)
    assert sections
    assert [(entry.anchor, entry.title) for entry in found.toc] == sections
