"""A mistake of each kind, planted in a sound shop: its code, its exact place, and a way out that helps.

The place where the message must point is marked with a section sign in the planted text.
"""

from pathlib import Path

import pytest

from handwheel.reading.load import load, read_library
from handwheel.reading.messages import Message, Messages
from handwheel.records.errors import InputErrors
from handwheel.records.library import Library

SOUND = """\
families:
  plover: {name: Plover}
variants:
  plover-first: {name: First, family: plover, made: {from: 1930, to: 1934}, features: {lamp: bracket}}
  plover-second: {name: Second, family: plover, made: {from: 1935, to: 1939}, features: {lamp: [stalk, none]}}
groups:
  early: {name: early, from: plover-first, to: plover-first}
features:
  lamp:
    ask: How is the lamp fixed?
    look: Behind the pillar.
    forms: {bracket: on a bracket, stalk: on a stalk, none: no lamp}
  supply: {derived: [{form: mains, when: {lamp: [bracket, stalk]}}, {form: without}]}
findings:
  wick: {ask: Is the wick soft?, states: {soft: soft, hard: hard}, good: [soft]}
readings:
  pull: {ask: Pull, unit: N, cuts: [0.60, 1.10], states: [slack, right, tight], good: [right]}
positions:
  needle: {name: the needle, states: {top: at its top, anywhere: anywhere}, start: anywhere}
materials:
  steel: {name: steel}
parts:
  head: {root: true}
  lamp: {when: {lamp: [bracket, stalk]}, material: steel}
fasteners:
  lamp-screw: {count: 2, holds: [lamp], tighten: 0.7 N m}
settings:
  reach: {name: reach of the lamp, held_by: [lamp-screw]}
agents:
  soap: {name: soap and water}
"""

PROCEDURE = """\
procedures:
  lamp-off:
    title: Take the lamp off
    steps:
      - by: lamp
        bracket or stalk: [{id: off, do: Undo both screws and lift the lamp off., removes: [lamp]}]
        none: nothing
  lamp-on:
    title: Fit the lamp
    steps: [{mirror: lamp-off}]
  wash:
    shared: true
    takes: [parts, agent]
    steps: [{id: bath, do: "Brush <parts> in <agent>.", cleans: {$parts: $agent}}]
"""


def read(folder: Path, **files: str) -> tuple[Library | None, tuple[Message, ...]]:
    shop = folder / "shop"
    shop.mkdir()
    (shop / "sound.yaml").write_text(SOUND, "utf-8")
    (shop / "work.yaml").write_text(PROCEDURE, "utf-8")
    for name, text in files.items():
        (shop / f"{name}.yaml").write_text(text, "utf-8")
    messages = Messages()
    return read_library([shop], messages), messages.all()


def test_the_sound_shop_has_no_message(tmp_path: Path) -> None:
    library, messages = read(tmp_path)
    assert messages == ()
    assert library is not None
    assert list(library.variants) == ["plover-first", "plover-second"]
    assert library.fasteners["lamp-screw"].count == 2
    assert library.readings["pull"].cuts.fixed[1].text == "1.10"


# Each: code of the message, planted text, a piece of the way out.
PLANTED = [
    ("unknown-key", "parts: {shade: {§matrial: steel}}", "did you mean 'material'?"),
    ("unknown-key", "procedures: {p: {steps: [{do: Undo it, §lift the plate off.: }]}}", "comma"),
    ("unknown-kind", "§partz: {shade: {}}", "did you mean 'parts'?"),
    ("unknown-id", "parts: {shade: {material: §stel}}", "did you mean 'steel'?"),
    ("unknown-id", "fasteners: {s: {holds: [lamp, §lmap]}}", "did you mean 'lamp'?"),
    ("unknown-id", "parts: {shade: {in: §steel}}", "a part"),
    ("unknown-state", "parts: {shade: {when: {lamp: §brackt}}}", "did you mean 'bracket'?"),
    ("unknown-state", "parts: {shade: {take_at: {needle: §topp}}}", "did you mean 'top'?"),
    ("unknown-question", "parts: {shade: {when: {§lampe: bracket}}}", "did you mean 'lamp'?"),
    ("unknown-word", "procedures: {w: {takes: [parts], steps: [{do: Wash., cleans: {§$part: soap}}]}}", "$parts"),
    ("unknown-step", "recordings: {r: {title: R, passages: {from: '1:00', to: '2:00', shows: §lamp-f/a}}}", "lamp-off"),
    ("duplicate-key", "parts: {shade: {material: steel, §material: steel}}", ""),
    ("duplicate-id", "parts: {§lamp: {}}", "an id of its own"),
    ("duplicate-question", "findings: {§lamp: {ask: Lit?, states: {y: y}, good: [y]}}", "an id of its own"),
    ("replaces-nothing", "parts: {§lampp: {replaces: true}}", "did you mean 'lamp'?"),
    ("wrong-type", "parts: {shade: {replaces: §maybe}}", "true or false"),
    ("bad-id", "parts: {§Lamp Shade: {}}", "'lamp-shade'"),
    ("missing-key", "fasteners: {s: §{count: 2}}", "holds:"),
    ("wrong-type", "fasteners: {s: {holds: [lamp], count: §two}}", "a whole number"),
    ("wrong-type", "fasteners: {s: {holds: [lamp], count: §0}}", "from 1"),
    ("wrong-type", "parts: {shade: {rests: §yes}}", "true or false"),
    ("wrong-type", "parts: {shade: §lamp}", "key: value"),
    ("wrong-type", "parts: {shade: {in: §}}", "an id"),
    ("wrong-type", "procedures: {p: {steps: [{do: Look., minutes: §[6, 2, 1]}]}}", "rising"),
    ("wrong-type", "procedures: {p: {steps: [§lift it]}}", "do:"),
    ("wrong-type", "recordings: {r: {title: R, date: §2026-02-30}}", "year-month-day"),
    ("wrong-type", "readings: {q: {ask: Q, unit: N, cuts: [§'0,6'], states: [a, b], good: [a]}}", "0.6"),
    ("wrong-unit", "fasteners: {s: {holds: [lamp], tighten: §0.7 N}}", "torque"),
    ("wrong-unit", "fasteners: {s: {holds: [lamp], tighten: §0.7 Nn}}", "torque"),
    ("wrong-unit", "fasteners: {s: {holds: [lamp], length: §6}}", "length"),
    ("cuts-and-states", "readings: {q: {ask: Q, unit: N, cuts: §[1], states: [a, b, c], good: [a]}}", "one more"),
    ("cuts-not-rising", "readings: {q: {ask: Q, unit: N, cuts: §[2, 1], states: [a, b, c], good: [a]}}", "low to high"),
    ("case-missing", "procedures: {p: {steps: [§{by: lamp, bracket: nothing, stalk: nothing}]}}", "none:"),
    ("case-missing", "procedures: {p: {steps: [§{by: pull, slack: nothing, right: nothing}]}}", "tight:"),
    ("case-missing", "procedures: {p: {steps: [§{by: variant, plover-first: nothing}]}}", "each variant"),
    ("case-twice", "procedures: {p: {steps: [{by: wick, soft: nothing, §hard or soft: nothing}]}}", "one case"),
    ("circle", "procedures: {p: {steps: [§{use: q}]}, q: {shared: true, steps: [{use: p}]}}", "take one"),
    ("circle", "parts: {a: {in: §b}, b: {in: a}}", "take one"),
    ("circle", "settings: {a: {name: a, after: §b}, b: {name: b, after: a}}", "take one"),
    ("empty-range", "parts: {shade: {when: {variant: §{from: plover-second, to: plover-first}}}}", "earlier first"),
    ("empty-range", "parts: {shade: {when: {made: §{from: 1940, to: 1930}}}}", "earlier year"),
    ("no-forms", "features: {§bed: {ask: Which bed?}}", "forms"),
    ("reserved-form", "features: {bed: {ask: Which?, forms: {missing: §gone}}}", "missing: true"),
    ("not-a-feature", "features: {d: {derived: [{form: a, when: §{wick: soft}}, {form: b}]}}", "features only"),
    ("not-a-condition", "parts: {shade: {when: §lamp}}", "{lamp: bracket}"),
    ("named-twice", "fasteners: {s: {holds: [lamp, §lamp]}}", "each once"),
    ("text-cut", "procedures:\n  p:\n    steps:\n      - do: §Take the screw out #4 first", "quotes"),
]  # fmt: skip


@pytest.mark.parametrize(("code", "text", "right"), PLANTED, ids=[f"{c}-{i}" for i, (c, _, _) in enumerate(PLANTED)])
def test_a_planted_mistake_is_found_where_it_stands(tmp_path: Path, code: str, text: str, right: str) -> None:
    at = text.index("§")
    line, column = text[:at].count("\n") + 1, at - (text[:at].rfind("\n") + 1) + 1
    library, messages = read(tmp_path, zz=text.replace("§", "") + "\n")
    found = [each for each in messages if each.place.file == "shop/zz.yaml"]
    assert library is None
    assert [each.code for each in found] == [code], [f"{each.place} {each.what}" for each in found]
    assert (found[0].place.line, found[0].place.column) == (line, column)
    assert right in found[0].right


def test_all_mistakes_of_a_run_are_told_at_once(tmp_path: Path) -> None:
    library, messages = read(
        tmp_path,
        one="parts: {shade: {matrial: steel, behind: [lmap]}}",
        two="fasteners: {s: {holds: [lamp], tighten: 3 kg, count: two}}",
        three="parts:\n\tlamp: {}",
        four='parts: {x: "',
    )
    assert library is None
    assert {each.place.file for each in messages} == {f"shop/{n}.yaml" for n in ("one", "two", "three", "four")}
    assert len([each for each in messages if each.place.file in ("shop/one.yaml", "shop/two.yaml")]) == 4


def layered(tmp_path: Path, later: str) -> tuple[Library | None, tuple[Message, ...]]:
    for name, text in (("base", SOUND), ("over", later)):
        (tmp_path / name).mkdir()
        (tmp_path / name / "a.yaml").write_text(text, "utf-8")
    messages = Messages()
    return read_library([tmp_path / "base", tmp_path / "over"], messages), messages.all()


def test_a_later_layer_must_say_that_it_replaces(tmp_path: Path) -> None:
    library, messages = layered(tmp_path, "materials: {steel: {name: mild steel}}")
    assert library is None
    assert [(each.code, str(each.place)) for each in messages] == [("undeclared-replacement", "over/a.yaml:1:13")]


def test_a_declared_replacement_takes_the_place_of_the_earlier_entry(tmp_path: Path) -> None:
    library, messages = layered(
        tmp_path, "materials: {steel: {replaces: true, name: mild steel}, brass: {name: brass}}"
    )
    assert messages == ()
    assert library is not None
    assert [each.name for each in library.materials.values()] == ["mild steel", "brass"]


def test_load_raises_every_message(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("partz: {}\nfoo: {}\n", "utf-8")
    with pytest.raises(InputErrors) as caught:
        load([tmp_path])
    assert len(caught.value.messages) == 2
    assert "did you mean 'parts'?" in str(caught.value)


def test_years_and_serials_in_conditions_become_cuts(tmp_path: Path) -> None:
    library, _ = read(
        tmp_path, more="parts: {shade: {when: {made: {from: 1936, to: 1938}, serial: {prefix: B, from: 5}}}}"
    )
    assert library is not None
    assert library.year_cuts == {1936, 1939}
    assert library.serial_cuts == {("B", 5)}


def test_what_may_stand_in_a_file_that_cannot_be_read_is_not_missed(tmp_path: Path) -> None:
    """One slip, one message: ids of the broken file are not told as unknown all over the others."""
    (tmp_path / "a.yaml").write_text("parts:\n  head: {root: true}\n  lamp: {material: steel, shape: round}\n", "utf-8")
    (tmp_path / "b.yaml").write_text("materials:\n  steel: {name: steel\n", "utf-8")
    messages = Messages()
    assert read_library([tmp_path], messages) is None
    assert [(each.place.file.rpartition("/")[2], each.code) for each in messages] == [
        ("a.yaml", "unknown-key"),
        ("b.yaml", "unclosed-bracket"),
    ]
    (tmp_path / "b.yaml").write_text("materials: {}\n", "utf-8")
    messages = Messages()
    read_library([tmp_path], messages)
    assert "unknown-id" in [each.code for each in messages]


def test_a_library_that_is_not_there_is_the_only_thing_told(tmp_path: Path) -> None:
    messages = Messages()
    assert read_library([tmp_path / "gone", Path(__file__).parents[2] / "demo_content"], messages) is None
    assert [message.code for message in messages] == ["missing-folder"]
