"""Cautions that come too late, and what is electrical in fact: finer points than the pages of their rules show."""

from __future__ import annotations

import pytest
from examples import findings_of

from handwheel.checks.finding import Finding

PINCH = """
cautions:
  pinch: {word: caution, hazard: A head that tips, consequence: It crushes fingers., avoid: Keep a hand on it.}
"""
UP = "{do: Lift the head onto its back., lifts: [head], people: 2}"
WARNED = "{do: Lift the head onto its base., lifts: [head], people: 2, cautions: [pinch]}"


def late(steps: str) -> tuple[Finding, ...]:
    return findings_of("late-caution", f"{PINCH}procedures:\n  over:\n    title: Turn it over\n    steps:\n{steps}")


def test_a_caution_at_the_first_step_is_in_time() -> None:
    again = WARNED.replace("onto its base", "onto its back")
    assert late(f"      - {again}\n      - {WARNED}\n") == ()
    assert late(f"      - {WARNED}\n      - {UP}\n") == ()


def test_two_sides_of_one_question_never_follow_each_other() -> None:
    look = "      - {do: Look at the tyre., finds: [tyre-state]}\n"
    assert late(f"{look}      - by: tyre-state\n        round: [{UP}]\n        flat: [{WARNED}]\n") == ()
    assert late(f"      - by: casting\n        iron: [{UP}]\n        aluminium: [{WARNED}]\n") == ()


def test_it_is_told_for_the_machines_that_come_by_both() -> None:
    (found,) = late(f"      - {UP}\n      - when: {{lamp: none}}\n        steps: [{WARNED}]\n")
    assert (found.subject, found.machines) == ("over/lifts-head", "lamp no lamp")


def test_the_first_step_may_stand_in_another_procedure_of_the_job() -> None:
    work = f"""{PINCH}
procedures:
  up: {{title: Turn it over, steps: [{UP}]}}
  down: {{title: Turn it back, steps: [{WARNED}]}}
jobs:
  work: {{title: The work, start: in-order, procedures: [up, down]}}
"""
    (found,) = findings_of("late-caution", work)
    assert found.subject.startswith("up/")
    assert found.jobs == ("work",)
    assert findings_of("late-caution", work.replace("procedures: [up, down]", "procedures: [down, up]")) == ()


def test_what_holds_a_part_is_not_let_go_before_its_caution() -> None:
    shop = """
cautions:
  flies: {word: caution, hazard: A wound spring, consequence: It flies., avoid: Hold it., symbol: spring}
parts:
  coil: {name: coil, hazards: [flies], sews: false}
fasteners:
  coil-screw: {name: coil screw, holds: [coil]}
procedures:
  coil-off:
    title: Take the coil off
    aim: {apart: [coil]}
    steps:
      - {id: let-go, do: Loosen <fasteners coil-screw>., loosens: [coil-screw], back: Tighten it.}
      - {id: off, do: Lift the coil off., removes: [coil]}
"""
    assert [each.subject for each in findings_of("late-caution", shop)] == ["coil-off/let-go"]
    told = shop.replace("loosens: [coil-screw],", "loosens: [coil-screw], cautions: [flies],")
    assert findings_of("late-caution", told) == ()


def test_the_same_instruction_word_for_word_bears_the_same_caution() -> None:
    prop = "{do: Keep the head on its prop., id: %s%s}"
    steps = f"      - {prop % ('a', '')}\n      - {prop % ('b', ', cautions: [pinch]')}\n"
    assert [each.subject for each in late(steps)] == ["over/a"]


@pytest.mark.parametrize(
    ("part", "kind", "electrical"),
    [
        ("powers: true", "screw", True),
        ("watts: 60 W, sources: [bench-notes]", "screw", True),
        ("material: steel", "terminal", True),
        ("material: steel", "plug", True),
        ("material: steel", "screw", False),
    ],
)
def test_a_part_is_electrical_by_what_else_is_told_of_it(part: str, kind: str, electrical: bool) -> None:
    shop = f"""
parts:
  box: {{name: box, sews: false, {part}}}
fasteners:
  box-hold: {{name: hold of the box, kind: {kind}, holds: [box]}}
"""
    assert bool(findings_of("electrical-not-told", shop)) == electrical
    assert findings_of("electrical-not-told", shop.replace("sews: false", "sews: false, electrical: true")) == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Undo <fasteners lamp-screw>.", True),
        ("Wipe the lamp.", True),
        ("Lift both lamps and look below.", True),
        ("Look at the lamp.", False),
        ("Wipe the lamp slot.", False),
        ("Wipe the shade of the lamp.", False),
        ("Tighten <fasteners plate-screw>.", False),
    ],
)
def test_a_text_takes_hold_of_something_electrical_or_speaks_of_it(text: str, told: bool) -> None:
    shop = f"procedures: {{look: {{title: Look, steps: [{{do: '{text}'}}]}}}}\n"
    assert bool(findings_of("electrical-not-told", shop)) == told
