"""Laws of putting lines into a file: every byte stays, and what is read is what was there with one thing more."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.desk.inserting import CannotInsert, with_record, with_step
from handwheel.desk.writing import Raw, flow, scalar
from handwheel.reading.messages import Messages
from handwheel.reading.nodes import read_text_as_nodes
from handwheel.reading.plain import plain
from written_small import ROOT

TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc", "Co", "Cn", "Zl", "Zp")), min_size=1, max_size=40)
"""What a person can write: no surrogates, control characters, or places that no character has."""
COMMENTS = st.sampled_from(["", "# a note", "  # a note further in", "    # and further"])
RECORDS = st.sampled_from(
    [
        ["  a: {name: one}"],
        ["  a:", "    name: one # the first", "    # what else", "    note: two"],
        ["  a:", "    note: |", "      a text", "      # no comment"],
        ["  a:", "    name: 'it''s'", "", "    count: 2"],
        ["  a: {name: one,", "      count: 2}"],
        ["  a: &x {name: one}", "  b: *x"],
    ]
)
KEYS = st.fixed_dictionaries(
    {"name": TEXTS}, optional={"note": TEXTS, "count": st.just(Raw("2")), "tell": st.lists(TEXTS)}
)


def read(text: str) -> Any:
    messages = Messages()
    root = read_text_as_nodes(text, "f", messages)
    assert root is not None, [message.what for message in messages]
    return plain(root)


def bare(data: Any) -> Any:
    """Without the line end that a text in a block gets once another line follows it."""
    if isinstance(data, dict):
        return {key: bare(value) for key, value in data.items()}
    return data.rstrip("\n") if isinstance(data, str) else data


@st.composite
def files(draw: st.DrawFn) -> str:
    """A content file in some layout: comments, blank lines, sections in any order, either line end."""
    lines = draw(st.lists(COMMENTS, max_size=2))
    for section in draw(st.permutations(["parts", "tools", "terms"]))[: draw(st.integers(0, 3))]:
        lines += [
            f"{section}:{draw(st.sampled_from(['', ' # of it']))}",
            *draw(RECORDS),
            *draw(st.lists(COMMENTS, max_size=3)),
        ]
    end = draw(st.sampled_from(["\n", "\r\n"]))
    return end.join(lines) + draw(st.sampled_from(["", end]))


@given(text=files(), keys=KEYS)
def test_a_record_added_and_taken_out_again_leaves_every_byte(text: str, keys: dict[str, Any]) -> None:
    """The new text is the old one with one run of lines put in; read, it is the old content with the record."""
    made = with_record(text, "parts", "new", keys)
    start = next((n for n, (a, b) in enumerate(zip(text, made, strict=False)) if a != b), len(text))
    gained = len(made) - len(text)
    cut = [n for n in range(start + 1) if made[:n] + made[n + gained :] == text]
    assert gained > 0 and cut
    before, after = bare(read(text)), read(made)
    assert after["parts"].pop("new") == {**keys, **({"count": 2} if "count" in keys else {})}
    after = bare(after)
    assert {name: found for name, found in after.items() if found} == {
        name: found for name, found in before.items() if found
    }


@given(text=files(), keys=KEYS)
def test_line_ends_are_those_of_the_file(text: str, keys: dict[str, Any]) -> None:
    made = with_record(text, "parts", "new", keys)
    if "\r\n" in text:
        assert made.count("\n") == made.count("\r\n")
    else:
        assert "\r" not in made


@given(text=TEXTS)
def test_a_text_is_read_as_it_was_given(text: str) -> None:
    """Block or brackets, alone or in a list; whatever YAML would otherwise make of it."""
    for written in (f"a: {scalar(text)}", f"a: [{scalar(text)}]", f"a: {{b: {scalar(text)}}}"):
        value = read(written)["a"]
        assert (value[0] if isinstance(value, list) else value["b"] if isinstance(value, dict) else value) == text


@pytest.mark.parametrize(
    "text", ["off", "Yes", "null", "12", "1.5", "a: b", "a #b", "- a", "&a", "{a", "a,b", "", " a", "a ", "é", "\u2028"]
)
def test_texts_that_yaml_would_change(text: str) -> None:
    assert read(f"a: {flow([text])}")["a"] == [text]


STEPS = """\
procedures:
  one:
    title: One   # odd   spacing
    steps:
      - {id: first, do: A.}
      # leads on to the second
      - id: second
        do: B.

      - by: lamp
        bracket:
          - do: C.
        stalk: nothing

  # leads on to two
  two:
    steps:
    - do: D.
    title: Two
"""


@pytest.mark.parametrize(
    ("procedure", "after", "before"),
    [
        ("one", "first", "      # leads on to the second\n"),
        ("one", "second", "\n      - by: lamp\n"),
        ("one", "", "\n  # leads on to two\n"),
        ("two", "", "    title: Two\n"),
    ],
)
def test_a_step_stands_where_it_belongs(procedure: str, after: str, before: str) -> None:
    made = with_step(STEPS, procedure, {"do": "E, then F.", "minutes": Raw("[1, 2, 3]")}, after)
    indent = "      " if procedure == "one" else "    "
    step = f'{indent}- do: "E, then F."\n{indent}  minutes: [1, 2, 3]\n'
    assert made.replace(step, "", 1) == STEPS
    assert step + before in made


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("parts: {a: {name: x}}\n", "brackets"),
        ("parts: text\n", "holds a text"),
        ("parts: [a\n", "not closed"),
    ],
)
def test_what_nothing_can_be_put_into_is_told(text: str, says: str) -> None:
    with pytest.raises(CannotInsert, match=says):
        with_record(text, "parts", "new", {"name": "x"})


@pytest.mark.parametrize(
    ("text", "procedure", "after", "says"),
    [
        (STEPS, "one", "third", "'first', 'second'"),
        (STEPS, "two", "third", "none has an id"),
        (STEPS, "three", "", "no list"),
        ("procedures: {one: {steps: [{do: A.}]}}\n", "one", "", "brackets"),
        ("procedures:\n  one:\n    steps: nothing\n", "one", "", "no list"),
    ],
)
def test_steps_that_cannot_be_added_are_told(text: str, procedure: str, after: str, says: str) -> None:
    with pytest.raises(CannotInsert, match=says):
        with_step(text, procedure, {"do": "E."}, after)


def test_what_would_change_what_was_there_is_refused() -> None:
    """A value that ends the record and begins another."""
    with pytest.raises(CannotInsert):
        with_record("parts:\n  a: {name: x}\n", "parts", "new", {"name": Raw("x\n  b: {name: y}")})


DEMO = sorted((ROOT / "demo_content").glob("*.yaml"))


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_in_each_section_and_procedure_of_the_demo(path: Path) -> None:
    """Laid out by people: one run of lines more, as many as were asked for, and the rest as it was."""
    text = path.read_text("utf-8")
    content = read(text)
    for plural in content:
        made = with_record(text, plural, "brand-new", {"name": "x, y", "note": "z"})
        assert made.replace('  brand-new:\n    name: "x, y"\n    note: z\n', "", 1) == text
    for name, body in [*content.get("procedures", {}).items()][:1] + [*content.get("procedures", {}).items()][-1:]:
        made = with_step(text, name, {"do": "x, y"})
        after = read(made)["procedures"][name]["steps"]
        assert after[:-1] == body["steps"] and after[-1] == {"do": "x, y"}
        indent = " " * (made.split('- do: "x, y"')[0].rpartition("\n")[2].count(" "))
        assert made.replace(f'{indent}- do: "x, y"\n', "", 1) == text
