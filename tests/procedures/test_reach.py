"""Reaching a part on a small shop: the least that comes off, its refit, and what is set, oiled and tested again."""

from __future__ import annotations

from pathlib import Path

import pytest

from handwheel.machines.masks import lowest
from handwheel.machines.space import Space
from handwheel.procedures.reach import Plan, reach
from handwheel.reading.load import load
from handwheel.records.families import family_as_built
from handwheel.records.library import Library

SHOP = """\
families: {plover: {name: Plover}}
variants:
  first: {name: First, family: plover, features: {lamp: bracket}}
  second: {name: Second, family: plover, features: {lamp: none}}
features: {lamp: {name: lamp, ask: Is there one?, forms: {bracket: a bracket, none: none}}}
parts:
  head: {root: true}
  lamp: {when: {lamp: bracket}, electrical: true}
  cover: {}
  bush: {behind: [cover], rests: true}
  unit: {behind: [cover], stack: [nut, spring]}
  nut: {}
  spring: {}
fasteners:
  lamp-screw: {holds: [lamp, cover], when: {lamp: bracket}}
  cover-screw: {holds: [cover]}
  unit-screw: {holds: [unit], behind: [cover]}
  nut-thread: {kind: own thread, holds: [nut]}
settings:
  throw: {name: throw, held_by: [unit-screw]}
  pull: {name: pull, held_by: [nut], after: [throw]}
  gap: {name: gap, held_by: [bush], set_when: {open: [cover]}}
oiling_points: {bush-point: {between: [bush], lubricant: oil, behind: [cover]}}
lubricants: {oil: {name: oil, form: oil}}
proofs:
  electrical: {name: electrical, stale_by: electrical, when: {lamp: bracket}}
  sewing: {name: sewing, stale_by: sewing}
procedures:
  safe: {area: take in, steps: [{id: plug, do: Pull the plug., isolates: [mains], when: {lamp: bracket}}]}
  strip:
    steps:
      - {by: lamp, bracket: [{id: lamp-off, do: Lift the lamp off., removes: [lamp]}], none: nothing}
      - {id: cover-off, do: Lift the cover off., removes: [cover]}
      - {id: scribe, do: Scribe a line., marks: [throw]}
      - {id: unit-off, do: Draw the unit out., removes: [unit]}
      - {id: nut-off, do: Turn the nut off., removes: [nut]}
      - {id: spring-off, do: Lift the spring off., removes: [spring]}
      - {id: bush-out, do: Push the bush out., removes: [bush]}
  set:
    steps:
      - {id: throw-set, do: Set the throw., sets: [throw]}
      - {id: pull-set, do: Set the pull., sets: [pull]}
      - {id: gap-set, do: Set the gap., sets: [gap]}
      - {id: bush-oiled, do: Oil the bush., lubricates: [bush-point]}
  test:
    steps:
      - {id: read, do: Read it., proves: [electrical], when: {lamp: bracket}}
      - {id: sewn, do: Sew., proves: [sewing]}
"""


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    folder = tmp_path_factory.mktemp("reach")
    (folder / "shop.yaml").write_text(SHOP, "utf-8")
    return load([folder])


def plan(library: Library, variant: str, part: str) -> Plan:
    space = Space(family_as_built(library, "plover"))
    return reach(library, space, lowest(space.variant_mask(variant)), part)


def local(acts: object) -> list[str]:
    return [act.local for act in acts]  # type: ignore[attr-defined]


def test_a_part_in_an_assembly_is_stripped_where_it_stands(library: Library) -> None:
    found = plan(library, "second", "spring")
    assert local(found.off) == ["nut-off", "spring-off"]
    assert local(found.back) == ["spring-off", "nut-off"]
    assert [each.id for each in found.settings] == ["pull"]
    assert (found.tests, found.missing, found.violations) == (("test",), (), ())


def test_what_is_in_front_comes_off_first_and_marks_are_kept(library: Library) -> None:
    found = plan(library, "second", "unit")
    assert local(found.off) == ["cover-off", "scribe", "unit-off"]
    assert [each.id for each in found.settings] == ["throw", "pull"]
    assert found.violations == ()


def test_something_electrical_is_isolated_first(library: Library) -> None:
    found = plan(library, "first", "lamp")
    assert local(found.first) == ["plug"]
    assert local(found.off) == ["lamp-off"]
    assert found.violations == ()


def test_a_setting_is_set_and_a_point_oiled_before_a_cover_closes_over_them(library: Library) -> None:
    found = plan(library, "second", "bush")
    order = [act.local for act in found.items if hasattr(act, "local")]
    assert order == ["cover-off", "bush-out", "bush-out", "bush-oiled", "gap-set", "cover-off"]
    assert found.violations == ()


def test_a_part_that_the_machine_does_not_have_needs_nothing(library: Library) -> None:
    found = plan(library, "second", "lamp")
    assert (found.off, found.back, found.missing) == ((), (), ())


def test_what_content_lacks_is_said(tmp_path: Path) -> None:
    text = SHOP.replace("      - {id: bush-out, do: Push the bush out., removes: [bush]}\n", "")
    (tmp_path / "shop.yaml").write_text(text.replace("sets: [gap]", "turns: [works]"), "utf-8")
    found = plan(load([tmp_path]), "second", "bush")
    assert found.missing == ("no step takes off 'bush'",)
