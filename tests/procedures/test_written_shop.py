"""From YAML to steps: a small shop as a restorer would write it."""

from __future__ import annotations

from pathlib import Path
from textwrap import dedent

import pytest

from handwheel.machines.machine import Known
from handwheel.procedures.expand import expand, expand_job
from handwheel.procedures.prose_check import check_prose
from handwheel.procedures.resolve import AsBuilt, Resolver
from handwheel.procedures.shown import as_lines
from handwheel.reading.load import load
from handwheel.records.library import Library

SHOP = """
families: {dipper: {name: Dipper}}
features:
  lamp:
    name: lamp
    ask: How is the lamp fixed?
    swapped: often
    carried_by: lamp
    forms: {bracket: bracket under the screws of the end cover, stalk: swivel stalk, none: no lamp}
variants:
  dipper-second: {name: second, family: dipper, made: {from: 1934, to: 1939}, features: {lamp: bracket}}
  dipper-fourth: {name: fourth, family: dipper, made: {from: 1951, to: 1957}, features: {lamp: [stalk, none]}}
materials: {steel: {name: steel}}
parts:
  head: {root: true, material: steel}
  end-cover: {when: {lamp: bracket}, material: steel}
  lamp: {when: {lamp: [bracket, stalk]}, material: steel}
  wick: {material: steel, rests: true}
fasteners:
  bracket-screw: {count: 2, holds: [lamp, end-cover], when: {lamp: bracket}, tighten: 0.7 N m}
  stalk-screw: {holds: [lamp], when: {lamp: stalk}, release: loosened, why: Its nut falls., tighten: 0.8 N m}
findings:
  wick: {ask: Is the wick soft?, of: wick, states: {soft: soft, hard: hard or glazed}, good: [soft]}
procedures:
  lamp-off:
    title: Take the lamp off
    steps:
      - by: lamp
        bracket:
          - id: bracket-off
            do: Undo <fasteners bracket-screw> and lift lamp and end cover away together.
            removes: [lamp, end-cover]
        stalk: [{id: stalk-out, do: Loosen <fasteners stalk-screw> and draw the stalk up., removes: [lamp]}]
        none: nothing
  wipe: {shared: true, takes: [parts], steps: [{id: cloth, do: "Wipe <parts>."}]}
  refit:
    title: Refit the lamp
    steps:
      - {use: wipe, with: {parts: [wick]}}
      - {id: old, do: Look at the plate., when: {made: {to: 1945}}}
      - {id: wick-look, do: Press the wick., finds: [wick]}
      - by: wick
        soft: nothing
        hard: [{id: wick-new, do: Push a new one in., renews: [wick]}]
      - mirror: lamp-off
jobs:
  lamp: {title: See to the lamp, start: in-order, procedures: [lamp-off, refit]}
"""


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Library:
    folder: Path = tmp_path_factory.mktemp("shop")
    (folder / "shop.yaml").write_text(dedent(SHOP), encoding="utf-8")
    return load([folder])


def test_a_named_variant(library: Library) -> None:
    found = Resolver(library, "dipper").resolve("refit", AsBuilt("dipper-second"))
    assert list(as_lines(library, found)) == [
        "Refit the lamp",
        "1. Wipe wick.",
        "2. Look at the plate.",
        "3. Press the wick.",
        "If the wick is soft: nothing to do.",
        "If the wick is hard or glazed:",
        "   4. Push a new one in.",
        "5. Fit the end cover and the lamp; tighten 2 bracket screws to 0.7 N m.",
    ]


def test_a_later_machine_with_an_earlier_lamp(library: Library) -> None:
    swapped = Known(frozenset(("dipper-fourth",)), {"lamp": frozenset(("bracket",))})
    steps = Resolver(library, "dipper").resolve("refit", swapped).steps
    assert [step.anchor for step in steps] == [
        "wipe--cloth",
        "wick-look",
        "wick-new",
        "lamp-off--bracket-off--back",
    ]


def test_nothing_is_wrong_with_it(library: Library) -> None:
    assert list(check_prose(library)) == []
    assert [message for program in expand_job(library, "lamp") for message in program.messages] == []
    assert [act.id for act in expand(library, "refit").acts][-2:] == ["lamp-off/bracket-off", "lamp-off/stalk-out"]


def test_a_wrong_mark_is_told_at_its_very_column(tmp_path: Path) -> None:
    written = dedent(SHOP).replace("Loosen <fasteners stalk-screw>", "Loosen <fasteners stalk-scew>")
    (tmp_path / "shop.yaml").write_text(written, encoding="utf-8")
    (message,) = check_prose(load([tmp_path]))
    line = next(line for line in written.splitlines() if "stalk-scew" in line)
    assert message.place.column == line.index("<fasteners") + 1
    assert message.right == "did you mean '<fasteners stalk-screw>'?"
