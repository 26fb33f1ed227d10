"""YAML to nodes: each kind of mistake at its exact place, nothing silent, nothing that raises or hangs."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from handwheel.reading import defects
from handwheel.reading.messages import Messages
from handwheel.reading.nodes import (
    Limits,
    Mapping,
    Node,
    Scalar,
    Sequence,
    cut_by_comment,
    looks_like_comma_cut,
    read_file,
    read_text_as_nodes,
    scalars,
)
from handwheel.reading.reporters import as_annotations, as_json, as_text
from handwheel.records.places import Place

SAMPLE = """\
# One area.
parts:
  lamp: {when: {lamp: [bracket, stalk]}, electrical: true}
  bulb: {in: lamp, rests: true}          # comes along
procedures:
  lamp-off:
    title: "Take the lamp off: first the bulb"
    steps:
      - id: bracket-off
        do: Undo <fasteners bracket-screw> and lift it away.
        why: >
          The screw is short;
          it falls into the bed.
        back: 'Start both screws; don''t force them.'
        note: |
          # not a comment
      - &two {when: {supply: mains}, minutes: [1, 2, 6]}
      - *two
"""


def read(text: str, limits: Limits = Limits()) -> tuple[Mapping | None, Messages]:
    messages = Messages()
    return read_text_as_nodes(text, "f.yaml", messages, limits), messages


def told(messages: Messages) -> list[tuple[str, int, int]]:
    return [(message.code, message.place.line, message.place.column) for message in messages]


def plain(node: Node | None) -> object:
    """Nodes as the plain values that PyYAML's text-only loader gives; a null is an empty text on both sides."""
    match node:
        case None:
            return None
        case Scalar():
            return node.text
        case Sequence(items):
            return [plain(item) for item in items]
        case Mapping(entries):
            return {key.text: plain(value) for key, value in entries}


# What is read, and how


@pytest.mark.parametrize(
    "text",
    [
        "no",
        "off",
        "Yes",
        "true",
        "1:30",
        "0123",
        "0x1F",
        "1_000",
        "2.10",
        "1e3",
        "1951-04-02",
        ".inf",
        "=",
        "0o17",
        "-7",
    ],
)
def test_text_stays_as_written(text: str) -> None:
    """YAML 1.1 (https://yaml.org/type/) would make a boolean, a number or a date of each of these."""
    root, messages = read(f"serial: {text}\n")
    assert not messages.all()
    assert root == Mapping(
        ((Scalar("serial", Place("f.yaml", 1, 1)), Scalar(text, Place("f.yaml", 1, 9))),), Place("f.yaml", 1, 1)
    )


@pytest.mark.parametrize("text", ["", "~", "null", "Null", "NULL"])
def test_nothing_is_an_empty_scalar_that_says_so(text: str) -> None:
    root, messages = read(f"a: {text}\nb: x\n")
    assert root is not None and not messages.all()
    value = root.get("a")
    assert isinstance(value, Scalar) and value.is_null and value.text == ""


@pytest.mark.parametrize("text", ["'null'", '"~"', "''"])
def test_nothing_in_quotes_is_text(text: str) -> None:
    root, _ = read(f"a: {text}\n")
    value = root and root.get("a")
    assert isinstance(value, Scalar) and not value.is_null and value.quoted and value.text == text[1:-1]


def test_styles_and_places() -> None:
    root, messages = read("a: x\nb: 'y'\nc: \"z\"\nd: |\n  t\ne: >-\n  u\n  v\nf:\n  - [ä, g]\n")
    assert root is not None and not messages.all()
    found = [
        (s.text, s.style, s.place.line, s.place.column) for s in scalars(root) if len(s.text) > 1 or s.place.column > 1
    ]
    assert found == [
        ("x", "plain", 1, 4),
        ("y", "single", 2, 4),
        ("z", "double", 3, 4),
        ("t\n", "literal", 4, 4),
        ("u v", "folded", 6, 4),
        ("ä", "plain", 10, 6),
        ("g", "plain", 10, 9),
    ]


@pytest.mark.parametrize("text", ["", "# only a comment\n", "---\n", "\n\n", "---\n# x\n...\n"])
def test_empty_file_has_no_keys(text: str) -> None:
    root, messages = read(text)
    assert root is not None and root.entries == () and not messages.all()


def test_windows_line_ends_and_byte_order_mark(tmp_path: Path) -> None:
    path = tmp_path / "w.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: x\r\nb:\r\n  - y\r\n")
    messages = Messages()
    root = read_file(path, "w.yaml", messages)
    assert root is not None and not messages.all()
    assert [(s.text, s.place.line, s.place.column) for s in scalars(root)] == [
        ("a", 1, 1),
        ("x", 1, 4),
        ("b", 2, 1),
        ("y", 3, 5),
    ]


def test_alias_gives_the_node_itself_not_a_copy() -> None:
    root, messages = read("a: &x {b: [c]}\nd: *x\n")
    assert root is not None and not messages.all()
    assert root.get("a") is root.get("d")


def test_sample_reads_as_with_the_stock_loader() -> None:
    root, messages = read(SAMPLE)
    assert not messages.all()
    assert plain(root) == yaml.load(SAMPLE, yaml.BaseLoader)


# What is refused: a message at the exact place. (text, code, line, column)

PLANTED = [
    # within the text of one line
    ("a: text: more\n", "colon-in-text", 1, 8),
    ("a:\n  do: Undo it.\n  why: Mind: it flies.\n", "colon-in-text", 3, 12),
    ("do: Undo the screws\n  and note: it flies\n", "colon-in-text", 2, 11),
    ("a: {do: Turn it: now}\n", "colon-in-text", 1, 16),
    ("a: [b: c: d]\n", "colon-in-text", 1, 9),
    ("a: b: \n", "colon-in-text", 1, 5),
    ("a:b\n", "no-space-after-colon", 1, 1),
    ("a:b\nc: d\n", "no-space-after-colon", 1, 1),
    ("x:\n  a:b\n  c: d\n", "no-space-after-colon", 2, 3),
    ("a: {b:c, d: e}\n", "no-space-after-colon", 1, 5),
    ("a\nb: c\n", "no-colon", 1, 1),
    ("a: x\nb\n", "no-colon", 2, 1),
    ("x" * 2000 + ": b\n", "key-too-long", 1, 1),
    ("a: - b\n", "item-in-line", 1, 4),
    # indentation
    ("a: x\n  b: y\n", "key-too-deep", 2, 3),
    ("a:\n  b: 1\n   c: 2\n", "key-too-deep", 3, 4),
    ("a:\n  b: 1\n c: 2\n", "bad-indentation", 3, 2),
    ("a: |\n    x\n  y\n", "bad-indentation", 3, 3),
    ("a:\n  - b\n - c\n", "bad-indentation", 3, 2),
    (" a: b\nc: d\n", "text-after-end", 2, 1),
    ("a: b\n...\nc: d\n", "text-after-end", 3, 1),
    ("a: b\n- c\n", "item-among-keys", 2, 1),
    ("a:\n  b: c\n  - d\n", "item-among-keys", 3, 3),
    ("- a\nb: c\n", "key-among-items", 2, 1),
    ("a:\n  - b\n  c: d\n", "key-among-items", 3, 3),
    ("holds: lamp\n  - plate\n", "item-in-text", 2, 3),
    ("a:\n  - b\n    - c\n", "item-in-text", 3, 5),
    # tabs
    ("a:\n\tb: c\n", "tab-indents", 2, 1),
    ("\ta: b\n", "tab-indents", 1, 1),
    ("a:\n  - x\n\t- y\n", "tab-indents", 3, 1),
    ("a:\n  b:\n  \tc: d\n", "tab-indents", 3, 3),
    ("a: x\n \ty\n", "tab-indents", 2, 2),
    ("a: |\n\ttext\n", "tab-indents", 2, 1),
    # quotes and brackets
    ('a: "open\nb: c\n', "unclosed-quote", 1, 4),
    ("a: 'open\nb: c\n", "unclosed-quote", 1, 4),
    ('a: "open\nb: "c"\n', "unclosed-quote", 1, 4),
    ("a: 'x\n---\ny'\n", "unclosed-quote", 1, 4),
    ('a: "x" y\n', "text-after-quote", 1, 8),
    ("a: 'it's'\n", "text-after-quote", 1, 8),
    ('a: {b: "x" y}\n', "text-after-quote", 1, 12),
    ("a: [x, y\nb: c\n", "unclosed-bracket", 1, 4),
    ("a: {x: 1\n", "unclosed-bracket", 1, 4),
    ("a: {do: Undo it # quick}\nb: c\n", "unclosed-bracket", 1, 4),
    ("a: [x, y}\n", "bracket-mismatch", 1, 9),
    ("a: {x: 1]\n", "bracket-mismatch", 1, 9),
    ("a: [x]]\n", "bracket-too-many", 1, 7),
    ("a: [b] c\n", "text-after-bracket", 1, 8),
    ("{a: 1} b\n", "text-after-bracket", 1, 8),
    ("a: ,x\n", "wants-content", 1, 4),
    ("a: {b: [}\n", "wants-content", 1, 9),
    # characters that YAML keeps for itself
    ("a: @x\n", "reserved-character", 1, 4),
    ("a: `x`\n", "reserved-character", 1, 4),
    ("a: %x\n", "reserved-character", 1, 4),
    ("a: * x\n", "reserved-character", 1, 4),
    ("a: & x\n", "reserved-character", 1, 4),
    ("a: ? b\n", "reserved-character", 1, 4),
    ('a: "\\q"\n', "bad-escape", 1, 5),
    ('a: "x\\x1"\n', "bad-escape", 1, 6),
    ('a: "\\ud800"\n', "bad-escape", 1, 5),
    ("a: > text\n", "text-after-block-mark", 1, 6),
    ("a: |x\n  t\n", "text-after-block-mark", 1, 5),
    # what YAML allows and this reader does not
    ("a: !!python/object/apply:os.system [ls]\n", "tag", 1, 4),
    ("a: !!int 3\n", "tag", 1, 4),
    ("a: !own x\n", "tag", 1, 4),
    ("a: !\n", "tag", 1, 4),
    ("a: !x!y z\n", "tag", 1, 4),
    ("a: !!map {b: c}\n", "tag", 1, 4),
    ("a: &x {b: c}\nd:\n  <<: *x\n  e: f\n", "merge-key", 3, 3),
    ("? [a]\n: b\n", "key-is-no-word", 1, 3),
    ("? {a: b}\n: c\n", "key-is-no-word", 1, 3),
    ("a: &x b\n*x : c\n", "key-is-no-word", 2, 1),
    ("~: a\n", "empty-key", 1, 1),
    ("'': a\n", "empty-key", 1, 1),
    ("a: 1\nb: 2\na: 3\n", "duplicate-key", 3, 1),
    ("x: {a: 1, 'a': 2}\n", "duplicate-key", 1, 11),
    ("a: b\n---\nc: d\n", "second-document", 2, 1),
    ("%YAML 3.0\n---\na: b\n", "directive", 1, 1),
    ("%YAML 1.1\n%YAML 1.1\n---\n", "directive", 2, 1),
    ("%FOO bar\n---\na: b\n", "directive", 1, 1),
    ("- a\n", "no-keys", 1, 1),
    ("some text\n", "no-keys", 1, 1),
    ("a: *x\n", "unknown-alias", 1, 4),
    ("a: &x b\nc: &x d\n", "duplicate-anchor", 2, 4),
    ("a: &x [&x b]\n", "duplicate-anchor", 1, 8),
    ("a: &x [*x]\n", "recursive-alias", 1, 8),
    ("a: &x\n  b: {c: *x}\n", "recursive-alias", 2, 10),
    # characters
    ("a: x\x00y\n", "control-character", 1, 5),
    ("a: b\nc: \x1b[31m\n", "control-character", 2, 4),
    ("a: x\u2028b: y\n", "control-character", 1, 5),
    ("a: x\x85b: y\n", "control-character", 1, 5),
    ("a: x\rb: y\n", "control-character", 1, 5),
    ("a: \ufeffx\n", "control-character", 1, 4),
    ("a: \ud800\n", "control-character", 1, 4),
    ('a: "x\\0y"\n', "control-character", 1, 4),
    ('a: "x\\u2028y"\n', "control-character", 1, 4),
]


@pytest.mark.parametrize(("text", "code", "line", "column"), PLANTED)
def test_planted_mistake_is_told_at_its_place(text: str, code: str, line: int, column: int) -> None:
    _, messages = read(text)
    assert told(messages) == [(code, line, column)]
    assert messages.errors[0].what and messages.errors[0].right


def test_every_kind_of_defect_is_planted() -> None:
    """Each code that this room's list of YAML defects knows stands in the table above, but for those tested below."""
    codes = {each.code for each in vars(defects).values() if isinstance(each, defects.Defect)}
    assert codes - {code for _, code, _, _ in PLANTED} == {"too-deep", "too-many-entries", "not-yaml"}


def test_every_mistake_of_a_file_is_told_in_one_run() -> None:
    _, messages = read("a: {b: 1, b: 2}\nc: !x y\nd: *no\na: 3\n<<: {}\n")
    assert told(messages) == [
        ("duplicate-key", 1, 11),
        ("tag", 2, 4),
        ("unknown-alias", 3, 4),
        ("duplicate-key", 4, 1),
        ("merge-key", 5, 1),
    ]


def test_duplicate_key_names_both_places_and_the_first_stands() -> None:
    root, messages = read("a: 1\nb: 2\na: 3\n")
    assert messages.errors[0].related == ((Place("f.yaml", 1, 1), "it stands here first"),)
    assert plain(root) == {"a": "1", "b": "2"}


def test_unknown_alias_names_the_nearest() -> None:
    _, messages = read("a: &screws [b]\nc: *screw\n")
    assert messages.errors[0].right == "'*screws'"


def test_columns_where_a_line_may_begin() -> None:
    _, messages = read("a:\n  - b: 1\n    c:\n      d: 2\n     e: 3\n")
    assert told(messages) == [("bad-indentation", 5, 6)]
    assert messages.errors[0].right == "the line to begin in column 1 or 5 or 7"


# Comments and commas that cut a text


def test_comment_that_cuts_a_text_is_found() -> None:
    text = "do: Undo screw #3 first. # no, #4\nwhy: 'x' # fine\nlist: [a] # fine\nback: # all of it\nnote: a#b\n"
    root, messages = read(text)
    assert root is not None and not messages.all()
    cut = cut_by_comment(root)
    assert [(s.text, s.comment, s.place.line, s.place.column) for s in cut] == [
        ("Undo screw", "#3 first. # no, #4", 1, 5),
        ("", "# all of it", 4, 6),
    ]


def test_comma_that_cuts_a_text_is_found() -> None:
    root, messages = read("a: {do: Undo both, lift the plate off, gently, removes: [x]}\nb: {c: d, e: , f: g}\n")
    assert root is not None and not messages.all()
    first, second = root.get("a"), root.get("b")
    assert isinstance(first, Mapping) and isinstance(second, Mapping)
    assert [key.text for key in looks_like_comma_cut(first)] == ["lift the plate off"]
    assert looks_like_comma_cut(second) == ()


# Limits


def test_too_deep_is_refused_at_the_first_level_too_many() -> None:
    deep = Limits(depth=3)
    assert read("a: {b: {c: d}}\n", deep)[1].all() == ()
    root, messages = read("a: {b: {c: {d: e}}}\n", deep)
    assert root is None and told(messages) == [("too-deep", 1, 12)]


def test_too_deep_by_alias_is_refused() -> None:
    root, messages = read("a: &x {b: {c: d}}\ne: {f: *x}\n", Limits(depth=3))
    assert root is None and told(messages) == [("too-deep", 2, 8)]


@pytest.mark.parametrize("bracket", ["[", "{a: ", "- ", "[\n", "{\n", "? "])
def test_endless_nesting_ends_soon(bracket: str) -> None:
    start = time.perf_counter()
    root, messages = read(bracket * 500_000)
    assert root is None and [code for code, _, _ in told(messages)] == ["too-deep"]
    assert time.perf_counter() - start < 5


def test_alias_bomb_is_refused_at_once() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 30)]
    start = time.perf_counter()
    root, messages = read("\n".join(lines))
    refused = root is None
    del root  # or a failing test would print it, expanded
    assert refused and [(code, line) for code, line, _ in told(messages)] == [("too-many-entries", 6)]
    assert time.perf_counter() - start < 1


def test_too_many_entries_counts_what_is_written() -> None:
    assert read("a: [b, c]\n", Limits(nodes=5))[1].all() == ()
    assert told(read("a: [b, c]\n", Limits(nodes=4))[1]) == [("too-many-entries", 1, 8)]


def test_one_very_long_line_takes_time_in_proportion() -> None:
    """Looking for a comment behind each text must not look at the rest of the line each time."""
    text = "a: [" + "b , " * 90_000 + "]\n"
    start = time.perf_counter()
    root, messages = read(text)
    assert root is not None and not messages.all()
    assert time.perf_counter() - start < 10


def test_at_least_thirty_thousand_lines_a_second() -> None:
    """Processor time, best of three, of steps as shops write them; a busy machine is let pass with a third of it."""
    step = (
        "      - id: step-{n}\n        do: Undo <fasteners bracket-screw> and lift it away.\n        removes: [lamp]\n"
    )
    text = "procedures:\n  a:\n    steps:\n" + "".join(step.replace("{n}", str(n)) for n in range(6_000))
    times = []
    for _ in range(3):
        start = time.process_time()
        root, messages = read(text)
        times.append(time.process_time() - start)
        assert root is not None and not messages.all()
    assert text.count("\n") / min(times) > 10_000


# Files


def test_bytes_that_are_not_utf_8(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_bytes("a: ä\nb: x".encode() + b"\xe4\n")
    messages = Messages()
    assert read_file(path, "f.yaml", messages) is None
    assert told(messages) == [("not-utf-8", 2, 5)]
    assert "byte 11 of the file (0xe4)" in messages.errors[0].what


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_wide_encodings_are_refused(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "f.yaml"
    path.write_bytes("a: b\n".encode(encoding))
    messages = Messages()
    assert read_file(path, "f.yaml", messages) is None
    assert {code for code, _, _ in told(messages)} <= {"not-utf-8", "control-character"}
    assert told(messages)


def test_file_too_big(tmp_path: Path) -> None:
    path = tmp_path / "f.yaml"
    path.write_text("a: b\n")
    messages = Messages()
    assert read_file(path, "f.yaml", messages, Limits(max_bytes=5)) is not None
    assert read_file(path, "f.yaml", messages, Limits(max_bytes=4)) is None
    assert told(messages) == [("file-too-big", 1, 1)]


def test_what_is_no_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    (tmp_path / "folder.yaml").mkdir()
    messages = Messages()
    names = ["pipe.yaml", "folder.yaml", "gone.yaml", "nul\0.yaml"]
    assert [read_file(tmp_path / name, name, messages) for name in names] == [None] * 4
    found = {message.place.file: message.code for message in messages}
    assert found == dict(zip(names, ["not-a-file", "not-a-file", "unreadable-file", "unreadable-file"], strict=True))


def test_file_that_may_not_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Refused by the system; not by mode bits, which do not bind every user that runs the tests."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    path = tmp_path / "f.yaml"
    path.write_text("a: b\n")
    monkeypatch.setattr(Path, "open", refuse)
    messages = Messages()
    assert read_file(path, "f.yaml", messages) is None
    assert told(messages) == [("unreadable-file", 1, 1)]


# Laws

WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=12)
TREES = st.recursive(
    WORDS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=12,
)
SOUP = st.lists(
    st.sampled_from(
        [
            *"[]{}:,-?&*!|>'\"%@`#~\\ \n\t",
            ": ",
            "- ",
            "\n  ",
            "\n    ",
            " #",
            "&a ",
            "*a",
            "<<: ",
            "a",
            "b: ",
            "---\n",
            "é",
        ]
    ),
    max_size=40,
).map("".join)
MUTATED = st.lists(
    st.tuples(st.integers(0, len(SAMPLE)), st.integers(0, 12), SOUP | st.text(max_size=3)), min_size=1, max_size=4
).map(lambda edits: _edited(SAMPLE, edits))
TEXTS = st.text(max_size=200) | SOUP | MUTATED


def _edited(text: str, edits: list[tuple[int, int, str]]) -> str:
    for at, cut, put in edits:
        text = text[:at] + put + text[at + cut :]
    return text


def judge(text: str, root: Mapping | None, messages: Messages) -> None:
    """What holds for every text, sound or not."""
    lines = text.split("\n")
    for message in messages:
        for place in (message.place, *(place for place, _ in message.related)):
            assert 1 <= place.line <= len(lines)
            assert 1 <= place.column <= len(lines[place.line - 1]) + 1
    assert root is not None or messages.errors
    assert bool(messages.all()) == bool(as_text(messages))
    assert as_json(messages) and as_annotations(messages).count("\n") == len(messages)
    if root is not None and not messages.errors:
        assert plain(root) == _stock(text)
        for scalar in scalars(root):
            if scalar.style == "plain" and "\n" not in scalar.text:
                written = lines[scalar.place.line - 1][scalar.place.column - 1 :]
                assert written.startswith(("&", scalar.text.split(" ")[0]))


def _stock(text: str) -> object:
    """The stock loader's text-only reading, nulls as empty text."""

    def clean(value: object) -> object:
        match value:
            case dict():
                return {clean(key): clean(each) for key, each in value.items()}
            case list():
                return [clean(each) for each in value]
        return "" if value in ("~", "null", "Null", "NULL") else value

    return clean(yaml.load(text, yaml.CBaseLoader)) or {}


def _never_raises(text: str) -> None:
    root, messages = read(text)
    judge(text, root, messages)


def _bytes_never_raise(path: Path, data: bytes) -> None:
    path.write_bytes(data)
    messages = Messages()
    root = read_file(path, "f.yaml", messages)
    assert root is not None or messages.errors
    assert bool(messages.all()) == bool(as_text(messages))


BYTES = st.binary(max_size=80) | TEXTS.map(lambda text: text.encode("utf-8", "surrogatepass"))


@settings(max_examples=700, deadline=5_000)
@given(TEXTS)
def test_no_text_raises_hangs_or_is_taken_in_silence(text: str) -> None:
    _never_raises(text)


@settings(max_examples=300, deadline=5_000)
@given(data=BYTES)
def test_no_bytes_raise_or_hang(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    _bytes_never_raise(tmp_path_factory.getbasetemp() / "fuzz.yaml", data)


@pytest.mark.long
@settings(max_examples=40_000, deadline=5_000)
@given(TEXTS)
def test_no_text_raises_hangs_or_is_taken_in_silence_long(text: str) -> None:
    _never_raises(text)


@pytest.mark.long
@settings(max_examples=20_000, deadline=5_000)
@given(data=BYTES)
def test_no_bytes_raise_or_hang_long(tmp_path_factory: pytest.TempPathFactory, data: bytes) -> None:
    _bytes_never_raise(tmp_path_factory.getbasetemp() / "fuzz.yaml", data)


@settings(max_examples=200, deadline=5_000)
@given(
    st.dictionaries(WORDS, TREES, max_size=4), st.sampled_from([None, True, False]), st.sampled_from(["'", '"', "|"])
)
def test_what_was_written_comes_back(tree: dict[str, object], flow: bool | None, style: str) -> None:
    """Written out by PyYAML in quotes of one kind or as blocks, read back the same."""
    text = yaml.dump(tree, allow_unicode=True, default_flow_style=flow, default_style=style, Dumper=_Untagged)
    root, messages = read(text)
    assert not messages.all(), as_text(messages)
    assert plain(root) == tree


class _Untagged(yaml.SafeDumper):
    """Gives no types, though all text is forced into a style, and repeats nothing by alias."""

    def ignore_aliases(self, data: object) -> bool:
        return True

    def process_tag(self) -> None:
        return
