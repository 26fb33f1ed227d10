"""Messages: sorted, each once, shown as a good compiler shows them."""

from __future__ import annotations

import json
import random
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.reading.messages import Message, Messages, nearest
from handwheel.reading.nearest import distance
from handwheel.reading.reporters import as_annotations, as_json, as_text, printable
from handwheel.records.errors import HandwheelError, InputErrors
from handwheel.records.places import Place


def one(line: str, column: int, file: str = "f.yaml") -> Messages:
    messages = Messages()
    messages.remember(file, f"first:\n{line}\n")
    messages.add("unknown-key", Place(file, 2, column), "no such key", "removes")
    return messages


def marked(messages: Messages) -> tuple[str, str]:
    """The line shown and the mark below it, both without the margin."""
    _, line, mark, *_ = as_text(messages).split("\n")
    return line.removeprefix("  2 | "), mark.removeprefix("    | ")


# Places, errors, the collector


def test_place_reads_and_sorts() -> None:
    assert str(Place("a/b.yaml", 12, 3)) == "a/b.yaml:12:3"
    places = [Place("a", 2, 1), Place("a", 10, 1), Place("b", 1, 1), Place("a", 2, 5)]
    assert sorted(places) == [places[0], places[3], places[1], places[2]]


def test_messages_are_sorted_and_said_once() -> None:
    told = [Message("a-b", Place(file, line), what) for file in "ba" for line in (10, 2) for what in ("y", "x")]
    for seed in range(3):
        messages = Messages()
        for message in random.Random(seed).sample(told * 2, len(told) * 2):
            messages.put(message)
        assert [(m.place.file, m.place.line, m.what) for m in messages] == [
            (file, line, what) for file in "ab" for line in (2, 10) for what in "xy"
        ]


def test_errors_are_raised_with_their_messages_and_warnings_are_not() -> None:
    messages = Messages()
    messages.add("odd", Place("f"), "odd", level="warning")
    messages.raise_errors()
    messages.add("bad", Place("f", 3, 4), "bad")
    with pytest.raises(HandwheelError, match=r"^f:3:4: bad$") as caught:
        messages.raise_errors()
    assert isinstance(caught.value, InputErrors)
    assert caught.value.messages == messages.errors
    assert [message.code for message in messages.errors] == ["bad"]


def test_line_is_kept_as_written() -> None:
    messages = Messages()
    messages.remember("f", "a: b\r\nc: d")
    assert [messages.line(Place("f", n)) for n in (1, 2, 3)] == ["a: b", "c: d", ""]
    assert messages.line(Place("other", 1)) == ""
    messages.remember("f", "new\n")
    assert messages.line(Place("f", 1)) == "new"


# For people


def test_text_shows_place_defect_line_mark_and_what_would_be_right() -> None:
    messages = one("    remvoes: [lamp]", 5)
    messages.add(
        "odd", Place("f.yaml", 9, 1), "odd", level="warning", related=[(Place("f.yaml", 1, 1), "it began here")]
    )
    assert as_text(messages) == (
        "f.yaml:2:5: error: no such key [unknown-key]\n"
        "  2 |     remvoes: [lamp]\n"
        "    |     ^~~~~~~\n"
        "  right: removes\n"
        "\n"
        "f.yaml:9:1: warning: odd [odd]\n"
        "  see f.yaml:1:1: it began here\n"
        "  1 | first:\n"
        "    | ^~~~~\n"
        "\n"
        "1 error, 1 warning\n"
    )


def test_nothing_to_say_is_an_empty_text() -> None:
    assert as_text(Messages()) == "" and as_annotations(Messages()) == ""


@pytest.mark.parametrize(
    ("line", "column", "shown", "mark"),
    [
        ("a: b c", 4, "a: b c", "   ^"),
        ("\ta: b", 2, "    a: b", "    ^"),
        ("ab\tc: d", 4, "ab  c: d", "    ^"),
        ("日本: x", 5, "日本: x", "      ^"),
        ("日本: x", 1, "日本: x", "^~~~"),
        ("e\u0301e\u0301: x", 7, "e\u0301e\u0301: x", "    ^"),
        ("a\u202eb: x", 6, "a\\u202eb: x", "          ^"),
        ("a\x1b[31m: x", 9, "a\\x1b[31m: x", "           ^"),
        ("a: b", 5, "a: b", "    ^"),
        ("a: b", 99, "a: b", "    ^"),
    ],
)
def test_mark_stands_under_its_place(line: str, column: int, shown: str, mark: str) -> None:
    """Widths after Unicode Standard Annex 11; tabs to every fourth column."""
    assert marked(one(line, column)) == (shown, mark)


@pytest.mark.parametrize("column", [1, 40, 500, 996])
def test_long_line_is_cut_around_the_place(column: int) -> None:
    line = " ".join(f"{n:04d}" for n in range(200))
    shown, mark = marked(one(line, column))
    assert len(shown) <= 102
    assert shown[mark.index("^") :].startswith(line[column - 1 : column + 2])


@settings(deadline=5_000)
@given(st.text(max_size=150), st.integers(1, 160), st.text(max_size=5))
def test_no_text_moves_the_cursor_or_breaks_the_report(line: str, column: int, file: str) -> None:
    messages = one(line, column, file)
    text = as_text(messages)
    assert re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]", text) is None
    assert text.count("^") >= 1 or not messages.line(Place(file, 2)).strip()


def test_printable_leaves_letters_alone() -> None:
    assert printable("Öl 日本 é\u0301") == "Öl 日本 é\u0301"
    assert printable("a\nb\u200bc\ud800") == "a\\nb\\u200bc\\ud800"


# For machines


def test_json_holds_all() -> None:
    messages = one("x: y", 1)
    messages.add("odd", Place("f.yaml", 3, 2), "öd", level="warning", related=[(Place("g", 4, 5), "first")])
    found = json.loads(as_json(messages))
    assert (found["errors"], found["warnings"]) == (1, 1)
    assert found["messages"] == [
        {
            "code": "unknown-key",
            "level": "error",
            "file": "f.yaml",
            "line": 2,
            "column": 1,
            "what": "no such key",
            "right": "removes",
            "related": [],
        },
        {
            "code": "odd",
            "level": "warning",
            "file": "f.yaml",
            "line": 3,
            "column": 2,
            "what": "öd",
            "right": "",
            "related": [{"file": "g", "line": 4, "column": 5, "note": "first"}],
        },
    ]
    assert json.loads(as_json(Messages())) == {"errors": 0, "warnings": 0, "messages": []}


def test_annotations_are_one_command_a_line() -> None:
    messages = Messages()
    messages.add("a-b", Place("x,y:z.yaml", 3, 4), "50% is\nnot: right", "half, or so")
    messages.add("c-d", Place("z", 1, 1), "odd \u202e", level="warning")
    assert as_annotations(messages, "content/") == (
        "::error file=content/x%2Cy%3Az.yaml,line=3,col=4,title=a-b::50%25 is%0Anot: right (right: half, or so)\n"
        "::warning file=content/z,line=1,col=1,title=c-d::odd \\u202e\n"
    )


# The nearest name

KEYS = ["removes", "renews", "restores", "repeat", "reach", "loosens", "lubricates", "marks", "measures", "face-plate"]


@pytest.mark.parametrize(
    ("name", "right"),
    [
        ("remvoes", "removes"),
        ("remove", "removes"),
        ("Removes", "removes"),
        ("renew", "renews"),
        ("lubricate", "lubricates"),
        ("lub", "lubricates"),
        ("mesures", "measures"),
        ("mark", "marks"),
        ("face plate", "face-plate"),
        ("face_plate", "face-plate"),
        ("plate-face", "face-plate"),
        ("face-plate-screw", "face-plate"),
        ("recah", "reach"),
        ("hook", ""),
        ("x", ""),
        ("", ""),
    ],
)
def test_nearest(name: str, right: str) -> None:
    assert nearest(name, KEYS) == right


def test_nearest_does_not_depend_on_order() -> None:
    assert nearest("lam", ["lamb", "lamp"]) == nearest("lam", ["lamp", "lamb"]) == "lamb"
    assert nearest("a", []) == ""


@pytest.mark.parametrize(
    ("a", "b", "apart"), [("", "", 0), ("abc", "abc", 0), ("abc", "acb", 1), ("ca", "abc", 3), ("kitten", "sitting", 3)]
)
def test_distance(a: str, b: str, apart: int) -> None:
    """Optimal string alignment; ('ca', 'abc') is 3 there and 2 in the unrestricted distance (L. Boytsov, 2011)."""
    assert distance(a, b) == distance(b, a) == apart


LETTERS = st.text("abc", max_size=5)


@settings(deadline=5_000)
@given(LETTERS, LETTERS, st.integers(0, 8))
def test_distance_against_its_definition(a: str, b: str, at_most: int) -> None:
    apart = _by_recursion(a, b)
    assert distance(a, b) == apart
    assert distance(a, b, at_most) == min(apart, at_most + 1)


def _by_recursion(a: str, b: str) -> int:
    if not a or not b:
        return len(a) + len(b)
    ways = [
        _by_recursion(a[:-1], b) + 1,
        _by_recursion(a, b[:-1]) + 1,
        _by_recursion(a[:-1], b[:-1]) + (a[-1] != b[-1]),
    ]
    if a[-2:] == b[-2:][::-1] and len(a) > 1 and len(b) > 1:
        ways.append(_by_recursion(a[:-2], b[:-2]) + 1)
    return min(ways)


@settings(deadline=5_000)
@given(st.sampled_from(KEYS), st.data())
def test_one_slip_leads_back(key: str, data: st.DataObject) -> None:
    """A letter dropped, doubled, changed or swapped leads to a name no further off than the one meant."""
    at = data.draw(st.integers(0, len(key) - 2))
    slips = (key[:at] + key[at + 1 :], key[:at] + key[at] + key[at:], key[:at] + "q" + key[at + 1 :], _swapped(key, at))
    slip = data.draw(st.sampled_from(slips))
    found = nearest(slip, KEYS)
    assert found and distance(slip, found) <= 1


def _swapped(key: str, at: int) -> str:
    return key[:at] + key[at + 1] + key[at] + key[at + 2 :]
