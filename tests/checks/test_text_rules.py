"""Finer points of the rules on texts: what is said against what the facts are, and what is left alone."""

from __future__ import annotations

import pytest
from examples import findings_of

from handwheel.checks.sentences import Sentence, sentences_in
from handwheel.records.places import Place
from handwheel.records.values import Text

HELD = """
parts:
  end-cover: {name: end cover}
  inner-cover: {name: inner cover}
  rim: {name: rim, when: {lamp: [bracket, stalk]}}
fasteners:
  end-screw: {name: end screw, count: 2, holds: [end-cover]}
  inner-nut: {name: inner nut, hand: left, holds: [inner-cover]}
  rim-screw: {name: rim screw, count: 3, holds: [rim], when: {lamp: bracket}}
  rim-clip: {name: rim screw of the stalk, plural: rim screws of the stalk, count: 2, holds: [rim], when: {lamp: stalk}}
"""


def step(do: str, effects: str, back: str = "") -> str:
    back = f', back: "{back}"' if back else ""
    return f"""{HELD}
procedures:
  off:
    title: Take it off
    aim: {{apart: [end-cover]}}
    steps: [{{id: one, do: "{do}"{back}, {effects}}}]
"""


@pytest.mark.parametrize(
    ("do", "effects", "wrong"),
    [
        ("Undo both screws.", "removes: [end-cover]", False),
        ("Undo two screws.", "removes: [end-cover]", False),
        ("Undo the two small end screws.", "removes: [end-cover]", False),
        ("Undo the screws.", "removes: [end-cover]", False),
        ("Undo them and tighten both.", "removes: [end-cover]", False),
        ("Undo one screw.", "removes: [end-cover]", False),
        ("Turn the longer screw.", "removes: [end-cover]", False),
        ("Undo both screws.", "removes: [end-cover, inner-cover]", False),
        ("Hold it with both hands.", "removes: [inner-cover]", False),
        ("Undo three screws.", "removes: [end-cover]", True),
        ("Undo 4 screws.", "removes: [end-cover]", True),
        ("Undo the screw.", "removes: [end-cover]", True),
        ("Undo the nuts.", "removes: [inner-cover]", True),
        ("Undo both nuts.", "removes: [inner-cover]", True),
        ("Tighten both.", "removes: [inner-cover]", True),
    ],
)
def test_numbers_in_words_and_figures(do: str, effects: str, wrong: bool) -> None:
    assert bool(findings_of("count-differs", step(do, effects))) == wrong


def test_a_number_that_is_right_on_some_machines_only_names_the_others() -> None:
    (found,) = findings_of("count-differs", step("Undo all three screws.", "removes: [rim]"))
    assert (found.subject, found.machines) == ("off/one", "lamp on a stalk")
    assert "2 rim screws of the stalk" in found.what


def test_a_number_is_judged_on_the_machines_of_its_step_alone() -> None:
    assert not findings_of("count-differs", step("Undo three screws.", "removes: [rim], when: {lamp: bracket}"))


@pytest.mark.parametrize(
    ("do", "back", "wrong"),
    [
        ("Turn <fastener inner-nut> to the right until it is out.", "", 0),
        ("Turn <fastener inner-nut> clockwise and take it off.", "", 0),
        ("Turn <fastener inner-nut> to the left until it is out.", "", 1),
        ("Turn <fastener inner-nut> anticlockwise and take it off.", "", 1),
        ("Undo the nut to the right.", "Turn the nut on to the left.", 0),
        ("Undo the nut to the right.", "Turn the nut on to the right.", 1),
        ("Lift the cover off to the left.", "", 0),
        ("Look to the left.", "", 0),
    ],
)
def test_the_way_to_turn_a_left_hand_nut(do: str, back: str, wrong: int) -> None:
    assert len(findings_of("side-differs", step(do, "removes: [inner-cover]", back))) == wrong


@pytest.mark.parametrize(
    ("do", "wrong"),
    [
        ("Undo <fasteners end-screw> and lift the cover off.", False),
        ("Undo the end screws and lift the cover off.", False),
        ("Undo <fasteners end-screw> and <fastener inner-nut>.", True),
        ("Undo the inner nut and lift the cover off.", True),
        ("Undo <fasteners end-screw> without touching <fastener inner-nut>.", False),
    ],
)
def test_the_fastener_that_an_instruction_names(do: str, wrong: bool) -> None:
    assert bool(findings_of("names-another", step(do, "removes: [end-cover]"))) == wrong


def test_a_fastener_that_holds_the_part_on_other_machines_only_is_another_one() -> None:
    said = "Undo <fasteners rim-clip> and lift the rim off."
    assert findings_of("names-another", step(said, "removes: [rim], when: {lamp: bracket}"))
    assert not findings_of("names-another", step(said, "removes: [rim], when: {lamp: stalk}"))


@pytest.mark.parametrize(
    ("do", "typed"),
    [
        ("Tighten it to 0.7 N m.", "0.7 N m"),
        ("Leave it 2,4 mm proud.", "2,4 mm"),
        ("Keep it under 60 °C.", "60 °C"),
        ("Keep it there for two hours.", "two hours"),
        ("Undo two end screws.", "two end screws"),
        ("Undo both end screws.", "both end screws"),
        ("Turn it by half a turn.", ""),
        ("Turn it to number 4 and look.", ""),
        ("Keep the 2 in a row.", ""),
        ("Undo <fasteners end-screw>.", ""),
        ("Take it off in 1938 style.", ""),
    ],
)
def test_numbers_typed(do: str, typed: str) -> None:
    found = findings_of("number-typed", step(do, "removes: [end-cover]"))
    assert [each.what for each in found] == ([f"'{typed}' is {_sort(typed)} typed into the text"] if typed else [])


def _sort(typed: str) -> str:
    return "a count beside a name" if "screw" in typed else "a number with a unit"


@pytest.mark.parametrize(
    ("do", "wrong"),
    [
        ("Undo it.", False),
        ("If it sticks, warm it.", False),
        ("When it is dry, then oil it.", False),
        ("Do not turn it.", False),
        ("Never turn it.", False),
        ("Gently undo it.", True),
        ("If it sticks, the lever is bent.", True),
        ("If it sticks warm it.", True),
        ("It comes off.", True),
    ],
)
def test_how_an_instruction_begins(do: str, wrong: bool) -> None:
    assert bool(findings_of("unlisted-verb", step(do, "removes: [end-cover]"))) == wrong


@pytest.mark.parametrize(
    ("do", "effects", "wrong"),
    [
        ("Loosen the screws, push, and tighten them.", "minutes: 1", False),
        ("Look at it.", "minutes: 1", False),
        ("Oil it.", "minutes: 1", True),
        ("Tighten it.", "removes: [inner-cover]", True),
        ("Undo it and lift it off.", "removes: [inner-cover]", False),
    ],
)
def test_verbs_and_effects(do: str, effects: str, wrong: bool) -> None:
    other = '\n      - {id: two, do: "Lift the cover off.", removes: [end-cover]}'
    example = step(do, effects).replace("steps: [", "steps:\n      - ").replace("}]\n", "}" + other + "\n")
    assert bool(findings_of("says-but-no-effect", example)) == wrong


def test_procedures_of_words_only_are_left_alone() -> None:
    assert not findings_of("says-but-no-effect", step("Oil it.", "minutes: 1"))


@pytest.mark.parametrize(
    ("raw", "parts"),
    [
        ("Undo it. Lift it.", 2),
        ("Turn it by 0.5 or so. Look!", 2),
        ('Say "stop." Then go.', 2),
        ("Undo <part sm-1.5> and look", 1),
        ("", 0),
    ],
)
def test_where_sentences_end(raw: str, parts: int) -> None:
    assert len(sentences_in(raw)) == parts


@pytest.mark.parametrize(
    ("raw", "count"),
    [("Undo it.", 2), ("Undo <fasteners end-screw> now.", 4), ("A wrung-out cloth, don't rub", 5), ("0.7 N m", 3)],
)
def test_words_are_counted_as_they_are_read(raw: str, count: int) -> None:
    assert len(Sentence(raw, "do", Text(raw, Place("f.yaml"))).words) == count
