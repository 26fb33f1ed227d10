"""A shop's files, spoilt at random: words for whoever wrote them, never a traceback, nothing passed over."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.reading.load import read_library
from handwheel.reading.messages import Messages
from handwheel.reading.nodes import read_text_as_nodes
from handwheel.reading.reporters import as_annotations, as_json, as_text
from handwheel.reading.tree import Mapping
from handwheel.records.kinds import Record, keys_of
from handwheel.records.library import Library

SHOP = """\
shops: {bench: {name: Bench End, currency: crowns, rate: 32, levels: {long-sentence: note}, seconds: {glance: 5}}}
families:
  plover: {name: Plover, cannot_stand: [{when: {lamp: stalk, wick: none}, why: Never seen.}]}
variants:
  first: {name: First, family: plover, made: {from: 1930, to: 1934}, features: {lamp: bracket, wick: cord}}
  second: {name: Second, family: plover, made: {from: 1935, to: 1939}, features: {lamp: [stalk, none], wick: none}}
groups: {early: {name: early, from: first, to: first}}
features:
  lamp:
    ask: How is the lamp fixed?
    look: Behind the pillar.
    forms: {bracket: on a bracket, stalk: on a stalk, none: no lamp}
  wick: {ask: Is there a wick?, forms: {cord: a cord, none: none}}
  supply: {derived: [{form: mains, when: {lamp: [bracket, stalk]}}, {form: without}]}
findings:
  felt: {ask: Is the felt soft?, states: {soft: soft, hard: hard}, good: [soft], of: lamp}
choices:
  led: {offer: Fit another bulb, when: {lamp: bracket}}
readings:
  pull: {ask: Pull, unit: N, cuts: [0.60, 1.10], states: [slack, right, tight], good: [right]}
positions:
  needle: {name: the needle, states: {top: at its top, anywhere: anywhere}, start: anywhere}
materials: {steel: {name: steel}}
sources:
  book: {title: Bench book, kind: shop measurement, date: 2026-02-03, count: 12, instrument: "calliper, 0.02 mm"}
parts:
  head: {root: true}
  lamp: {when: {lamp: [bracket, stalk]}, material: steel, mass: 0.4 kg}
  shade: {in: lamp, when: {made: {from: 1931, to: 1938}}, take_at: {needle: top}}
fasteners:
  lamp-screw: {count: 2, holds: [lamp], tighten: 0.7 N m, source: {source: book, at: page 3}}
settings: {reach: {name: reach of the lamp, held_by: [lamp-screw]}}
agents: {soap: {name: soap and water}}
figures: {front: {file: figures/front.svg, alt: A lamp on a bracket.}}
procedures:
  lamp-off:
    title: Take the lamp off
    aim: {apart: [lamp]}
    steps:
      - by: lamp
        bracket or stalk:
          - {id: off, do: Undo both screws and lift the lamp off., removes: [lamp], minutes: [2, 4, 9]}
        none: nothing
      - do: {by: variant, early: Look early., second: Look late.}
        when: {not: {lamp: none}}
        finds: [felt]
      - repeat:
          until: {pull: right}
          at_most: 6
          steps: [{do: Turn the nut., measures: [pull]}]
        otherwise: [{do: Stop., why: "It is <part lamp> that slips."}]
  lamp-on: {title: Fit the lamp, steps: [{mirror: lamp-off}, {use: wash, with: {parts: [lamp], agent: soap}}]}
  wash:
    shared: true
    takes: [parts, agent]
    steps: [{id: bath, do: "Brush <parts> in <agent>.", cleans: {$parts: $agent}}]
jobs: {all: {title: All, start: neglected, procedures: [lamp-off, lamp-on]}}
recordings:
  class: {title: Class, length: "58:20", passages: [{from: "12:10", to: "13:05", shows: [lamp-off/off]}]}
claims: {one: {says: It came late., standing: likely, rests_on: [book], history: [{date: 2026-03-11, standing: open}]}}
accepted: {one: {rule: long-sentence, of: lamp-off/off, why: The order is fixed.}}
drafts: {n-1: {step: lamp-off/off, says: It was stuck, date: 2026-03-11}}
measurements: {m-1: {reading: pull, values: [0.82, 0.90], date: 2026-03-11, notes: [n-2]}}
"""
TOKENS = sorted(set(re.findall(r"[\w.-]+|\S", SHOP)))
ODD = [
    "",
    "~",
    "null",
    "[]",
    "{}",
    "[[]]",
    "{a: b}",
    "true",
    "-1",
    "1e9",
    ".inf",
    "0x1f",
    "99999999999999999999",
    "2026-02-30",
    "'",
    '"',
    "&a",
    "*a",
    "!!python/object:os.system",
    "<<",
    "$parts",
    "<",
    "<part nothing>",
    "{{ 7 * 7 }}",
    "../../x",
    "é",
    "\u202e",
    "\u200b",
    "\U0001f527",
    "\ud7ff",
    "a" * 300,
    "\n",
    "\n  - ",
    ": ",
    " #",
    ", ",
    "- ",
    "|\n  text",
    "?",
]
PIECES = re.compile(r"[\w.$-]+|\s+|.", re.DOTALL)


@st.composite
def spoilt_shops(draw: st.DrawFn) -> str:
    """The shop with a few pieces exchanged, put in, taken out or moved."""
    pieces = PIECES.findall(SHOP)
    words = [number for number, piece in enumerate(pieces) if not piece.isspace()]
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.sampled_from(words))
        put = draw(st.sampled_from(TOKENS) | st.sampled_from(ODD) | st.text(max_size=8))
        how = draw(st.sampled_from(("exchange", "insert", "cut", "swap")))
        other = draw(st.sampled_from(words))
        match how:
            case "exchange":
                pieces[at] = put
            case "insert":
                pieces[at] += put
            case "cut":
                pieces[at] = ""
            case "swap":
                pieces[at], pieces[other] = pieces[other], pieces[at]
    return "".join(pieces)


def read(folder: Path, text: str) -> tuple[Library | None, Messages]:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    (folder / "shop.yaml").write_bytes(text.encode("utf-8", "surrogatepass"))
    messages = Messages()
    return read_library([folder], messages), messages


def unread(library: Library, text: str) -> Iterator[str]:
    """Records, and keys of records, that were written and are not in the library."""
    root = read_text_as_nodes(text, "f", Messages())
    assert root is not None
    for plural, section in root.entries:
        for identifier, body in section.entries if isinstance(section, Mapping) else ():
            record: Record | None = library.of(plural.text).get(identifier.text)
            if record is None:
                yield f"{plural.text}/{identifier.text}"
            elif isinstance(body, Mapping):
                names = {written: name for written, (name, _) in keys_of(type(record)).items()}
                yield from (
                    f"{identifier.text}: {key.text}" for key, _ in body.entries if names.get(key.text) not in record.at
                )


def judge(folder: Path, text: str) -> None:
    library, messages = read(folder, text)
    assert (library is None) == bool(messages.errors)
    assert bool(messages.all()) == bool(as_text(messages))
    assert as_json(messages) and as_annotations(messages).count("\n") == len(messages)
    lines = text.split("\n")
    for message in messages:
        assert message.what and 1 <= message.place.line <= len(lines)
    if library is not None:
        assert [each for each in unread(library, text) if not each.endswith(": replaces")] == []


def test_the_shop_is_sound_and_has_most_kinds(tmp_path: Path) -> None:
    library, messages = read(tmp_path / "shop", SHOP)
    assert as_text(messages) == "" and library is not None
    assert len({plural for plural, _ in library}) >= 20
    assert list(unread(library, SHOP)) == []


def test_what_is_passed_over_would_be_seen(tmp_path: Path) -> None:
    """The judge can fail: a record and a key that the library does not hold."""
    library, _ = read(tmp_path / "shop", SHOP)
    assert library is not None
    more = SHOP.replace("root: true", "root: true, rests: true").replace("  lamp-on:", "  lamp-of: {}\n  lamp-on:")
    assert list(unread(library, more)) == ["head: rests", "procedures/lamp-of"]


@settings(max_examples=1_000)
@given(text=spoilt_shops())
def test_a_spoilt_shop_is_told_of_or_read_whole(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    judge(tmp_path_factory.getbasetemp() / "spoilt", text)


@pytest.mark.long
@settings(max_examples=40_000)
@given(text=spoilt_shops())
def test_a_spoilt_shop_is_told_of_or_read_whole_long(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    judge(tmp_path_factory.getbasetemp() / "spoilt-long", text)
