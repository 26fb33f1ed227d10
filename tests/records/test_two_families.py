"""Content may name variants of several families in one condition: on each family the others are never built."""

from __future__ import annotations

import pytest

from handwheel.checks.runner import run
from handwheel.machines.conditions import Not, OfVariant
from handwheel.machines.errors import UnknownVariant
from handwheel.machines.space import Space
from handwheel.pages.build import site_of
from handwheel.procedures.existence import Existence
from handwheel.procedures.reach import reach
from handwheel.reading.load import load
from handwheel.records.families import family_as_built, family_of
from handwheel.records.library import Library

SHOP = """\
families:
  plover: {name: Plover, cannot_stand: [{when: {variant: heron-one, lamp: none}, why: Never seen.}]}
  heron: {name: Heron}
variants:
  plover-one: {name: One, family: plover, features: {lamp: bracket}}
  plover-two: {name: Two, family: plover, features: {lamp: none}}
  heron-one: {name: Heron, family: heron, features: {lamp: [bracket, none]}}
features:
  lamp: {name: lamp, ask: Is there one?, forms: {bracket: a bracket, none: none}}
  sort: {name: sort, derived: [{form: early, when: {variant: [plover-one, heron-one]}}, {form: late}]}
parts:
  head: {root: true}
  crank: {when: {variant: [plover-one, heron-one]}}
fasteners:
  crank-screw: {holds: [crank], tighten: [{when: {variant: heron-one}, is: 1 N m}, {when: {family: plover}, is: 2 N m}]}
procedures:
  crank-off:
    title: Take the crank off
    aim: {apart: [crank]}
    steps:
      - {by: variant, plover-one or heron-one: [{do: Lift it off., removes: [crank]}], plover-two: nothing}
"""


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    folder = tmp_path_factory.mktemp("two")
    (folder / "shop.yaml").write_text(SHOP, "utf-8")
    return load([folder])


@pytest.mark.parametrize(("family", "count"), [("plover", 1), ("heron", 0)])
def test_a_variant_of_another_family_is_never_built_here(library: Library, family: str, count: int) -> None:
    space = Space(family_of(library, family))
    both = OfVariant(frozenset(("plover-one", "heron-one")))
    other = OfVariant(frozenset(("heron-one" if family == "plover" else "plover-one",)))
    assert space.mask(other) == 0
    assert space.mask(Not(other)) == space.all
    assert space.count(space.mask(Not(both))) == count


def test_a_name_that_no_family_has_is_still_refused(library: Library) -> None:
    with pytest.raises(UnknownVariant):
        Space(family_of(library, "plover")).mask(OfVariant(frozenset(("plover-on",))))


def test_values_and_parts_are_told_on_each_family(library: Library) -> None:
    for family, tight, has in (("plover", "2 N m", "sometimes"), ("heron", "1 N m", "always")):
        space = Space(family_as_built(library, family))
        existence = Existence(library, space, space.all)
        assert [each.text for each in existence.values(library.fasteners["crank-screw"].tighten)] == [tight]
        assert getattr(existence, has)("parts", "crank")


def test_a_part_named_for_both_is_reached_on_both(library: Library) -> None:
    for family in library.families:
        space = Space(family_as_built(library, family))
        assert [act.step.removes for act in reach(library, space, 0, "crank").off] == [("crank",)]


def test_checks_and_pages_stand_on_both(library: Library) -> None:
    site = site_of(library, run(library))
    paths = {page.path for page in site.pages}
    assert {"on/plover-one/crank-off.html", "on/heron-one/crank-off.html", "compare/heron.html"} <= paths
