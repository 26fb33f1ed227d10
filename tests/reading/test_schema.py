"""The schema for editors against JSON Schema's own metaschema, and against the loader, on good files and bad ones."""

from __future__ import annotations

import copy
import json
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from handwheel.reading.context import Context, Index
from handwheel.reading.folders import layers
from handwheel.reading.layering import Entry, read_layers
from handwheel.reading.load import index_of, read_record
from handwheel.reading.messages import Messages
from handwheel.reading.nodes import read_file, read_text_as_nodes
from handwheel.reading.plain import plain, plain_value
from handwheel.reading.schema import schema, schema_of
from handwheel.reading.tree import Scalar
from handwheel.records import shapes as s
from handwheel.records import step_records as steps
from handwheel.records.kinds import KINDS, keys_of
from handwheel.records.places import Place
from written_small import ROOT, SHOP

FOLDERS = (ROOT / "content", ROOT / "demo_content")
GOOD = [
    *sorted(path for folder in FOLDERS for path in folder.rglob("*.yaml")),
    *sorted(ROOT.glob("tests/*/shop/*.yaml")),
    ROOT / "tests/checks/sound.yaml",
]
ONLY_THE_LOADER = {
    "unknown-id": "whether an id exists",
    "unknown-state": "whether a question has a state",
    "unknown-question": "whether a question exists",
    "unknown-word": "whether a shared run takes a word",
    "case-twice": "whether a state has two cases",
    "empty-range": "whether a range holds anything",
    "wrong-unit": "whether a unit is known and of the right kind",
}
"""Codes of messages on what no schema can see, with what that is."""
ONLY_THE_LOADER_SAYS = ("is not more than nothing", "these are no minutes", "is no date")
"""The same, for messages that share their code with mistakes of shape."""


@cache
def validator() -> Draft202012Validator:
    return Draft202012Validator(schema())


@cache
def demo() -> tuple[Index, tuple[tuple[str, str, Any], ...]]:
    """The index of the demo over its library, and every record of both as plain data."""
    entries, _ = read_layers(layers(FOLDERS, Messages()), Messages())
    records = tuple(
        (plural, name, plain(entry.body)) for plural, found in entries.items() for name, entry in found.items()
    )
    return index_of(entries), records


def loader_says(plural: str, name: str, data: Any) -> list[tuple[str, str]]:
    """Code and text of each error that the loader leaves on a record."""
    messages = Messages()
    root = read_text_as_nodes(json.dumps({name: data}), "f.yaml", messages)
    assert root is not None
    read_record(Entry(plural, Scalar(name, Place("f.yaml")), root.entries[0][1], "f"), Context(messages, demo()[0]))
    return [(message.code, message.what) for message in messages.errors]


def schema_refuses(plural: str, name: str, data: Any) -> bool:
    return not validator().is_valid({plural: {name: data}})


def of_shape(said: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """What the schema should see as well."""
    return [
        (code, what)
        for code, what in said
        if code not in ONLY_THE_LOADER and not any(text in what for text in ONLY_THE_LOADER_SAYS)
    ]


def test_it_is_a_schema_of_draft_2020_12() -> None:
    """JSON Schema Core and Validation, draft 2020-12: held against its metaschema."""
    Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_it_is_the_same_whatever_was_imported_first() -> None:
    """Written in two processes that import the records in another order."""
    script = (
        "import {0}; import handwheel.records.library; from handwheel.reading.schema import schema; print(schema())"
    )
    modules = ("handwheel.records.library_records", "handwheel.records.work_records")
    written = {
        subprocess.run([sys.executable, "-c", script.format(each)], capture_output=True, check=True).stdout
        for each in modules
    }
    assert len(written) == 1


def test_its_patterns_are_those_of_editors() -> None:
    """ECMA-262 with the u flag, as JSON Schema asks (core, 6.4), tried in an engine that editors use."""
    script = """
        const patterns = [];
        JSON.parse(require("fs").readFileSync(0, "utf8"), (key, value) => {
          if (key === "pattern") patterns.push(new RegExp(value, "u"));
          return value;
        });
        console.log(patterns.length);
    """
    result = subprocess.run(
        ["node", "-e", script], input=json.dumps(schema()), capture_output=True, text=True, check=True, timeout=60
    )
    assert int(result.stdout) > 50


def test_every_reference_leads_somewhere() -> None:
    text, known = json.dumps(schema()), schema()["$defs"]
    names = {part.split('"')[0] for part in text.split("#/$defs/")[1:]}
    assert names and names <= set(known) and all(known.values())


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_good_files_pass(path: Path) -> None:
    messages = Messages()
    root = read_file(path, path.name, messages)
    assert root is not None and root.entries
    assert [f"{error.json_path}: {error.message[:200]}" for error in validator().iter_errors(plain(root))] == []


def test_good_records_pass_the_loader_too() -> None:
    """The ones that the next test makes mistakes in."""
    assert [(name, said) for plural, name, data in demo()[1] if (said := loader_says(plural, name, data))] == []


def classes() -> Iterator[type[Any]]:
    left = [kind.cls for kind in KINDS.values()]
    left += [steps.Step, steps.Under, steps.Use, steps.Ensure, steps.Mirror, steps.Repeat, steps.Reach]
    seen: set[type[Any]] = set()
    while left:
        cls = left.pop()
        if cls in seen:
            continue
        seen.add(cls)
        yield cls
        left += [
            shape.cls for _, key in keys_of(cls).values() for shape in inside(key.shape) if isinstance(shape, s.Part)
        ]


def inside(shape: s.Shape) -> Iterator[s.Shape]:
    yield shape
    if isinstance(shape, s.Many | s.Map | s.Varying):
        yield from inside(shape.item)


@pytest.mark.parametrize("cls", list(classes()), ids=lambda cls: cls.__name__)
def test_every_key_is_described_and_its_example_is_right(cls: type[Any]) -> None:
    """The example of each key, as it stands in YAML, is one that the key allows."""
    for name, (_, key) in keys_of(cls).items():
        assert key.doc.strip() and key.example.strip(), name
        assert Draft202012Validator(schema_of(key.shape)).is_valid(plain_value(key.example)), (name, key.example)


def test_every_property_has_a_description() -> None:
    """In the schema as written; an example too where the key is one of a record."""
    bare = [path for path, each in properties(schema()) if isinstance(each, dict) and "description" not in each]
    assert bare == []


def properties(node: Any, path: str = "$") -> Iterator[tuple[str, Any]]:
    if isinstance(node, dict):
        if isinstance(node.get("properties"), dict) and ("type" in node):
            yield from ((f"{path}.{name}", each) for name, each in node["properties"].items())
        for name, each in node.items():
            yield from properties(each, f"{path}.{name}")
    elif isinstance(node, list):
        for number, each in enumerate(node):
            yield from properties(each, f"{path}[{number}]")


def places(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path to every value in plain data."""
    yield path
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in items:
        yield from places(value, (*path, key))


def at(data: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        data = data[key]
    return data


INSTEAD: tuple[Any, ...] = (
    None,
    "text",
    "a b",
    12,
    0.5,
    True,
    [],
    {},
    ["text"],
    [["text"]],
    {"lamp": "text"},
    [{"x": 1}],
)


@st.composite
def mistaken(draw: st.DrawFn) -> tuple[str, str, Any]:
    """A good record with one thing in it changed: another value, a key more or less, a list round it, a key renamed."""
    plural, name, data = draw(st.sampled_from(demo()[1]))
    data = {"record": copy.deepcopy(data)}
    path = draw(st.sampled_from([each for each in places(data) if each]))
    holder, key = at(data, path[:-1]), path[-1]
    operator = draw(st.sampled_from(("instead", "drop", "wrap", "add", "rename")))
    if operator == "instead":
        holder[key] = draw(st.sampled_from(INSTEAD))
    elif operator == "wrap":
        holder[key] = [holder[key]]
    elif operator == "add" and isinstance(holder[key], dict):
        holder[key]["unheard-of"] = draw(st.sampled_from(INSTEAD))
    elif operator == "rename" and isinstance(holder, dict) and len(path) > 1:
        holder[f"{key}x"] = holder.pop(key)
    elif len(path) > 1:
        del holder[key]
    return plural, name, data["record"]


@settings(max_examples=600)
@given(case=mistaken())
def test_schema_and_loader_agree_on_mistakes_of_shape(case: tuple[str, str, Any]) -> None:
    """What the schema refuses, the loader refuses; what the loader refuses for its shape, the schema refuses."""
    said, refused = loader_says(*case), schema_refuses(*case)
    if refused:
        assert said, case
    if of_shape(said):
        assert refused, (said, case)


@pytest.mark.long
@settings(max_examples=20_000)
@given(case=mistaken())
def test_schema_and_loader_agree_on_very_many_mistakes(case: tuple[str, str, Any]) -> None:
    said, refused = loader_says(*case), schema_refuses(*case)
    assert bool(said) or not refused, case
    assert refused or not of_shape(said), (said, case)


@pytest.mark.parametrize("kind", list(KINDS.values()), ids=lambda kind: kind.plural)
def test_each_kind_refuses_the_four_plain_mistakes(kind: Any) -> None:
    """Unknown key, list for map, text for map, and each required key left out: refused by both."""
    keys = {name: plain_value(key.example) for name, (_, key) in keys_of(kind.cls).items()}
    assert not schema_refuses(kind.plural, "x", keys)
    assert not of_shape(loader_says(kind.plural, "x", keys))
    required = [name for name, (_, key) in keys_of(kind.cls).items() if key.required]
    wrong = [{**keys, "unheard-of": "x"}, [keys], "text"]
    wrong += [{name: value for name, value in keys.items() if name != left_out} for left_out in required]
    for data in wrong:
        assert schema_refuses(kind.plural, "x", data), data
        assert of_shape(loader_says(kind.plural, "x", data)), data


@pytest.mark.parametrize(
    "text",
    [
        "partz: {}",
        "parts: []",
        "parts: text",
        "parts: {Head: {name: x}}",
        "parts: {a_b: {}}",
        "- parts",
        f"parts: {{{'a' * 81}: }}",
    ],
)
def test_mistakes_of_a_file_are_refused_by_both(text: str, tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(text)
    messages = Messages()
    read_layers(layers([tmp_path], messages), messages)
    assert messages.errors
    root = read_text_as_nodes(f"all:\n  {text}", "f", Messages())
    assert root is not None and not validator().is_valid(plain(root)["all"])


def test_a_small_shop_and_an_empty_file_pass() -> None:
    root = read_text_as_nodes(SHOP, "f", Messages())
    assert root is not None and validator().is_valid(plain(root))
    assert validator().is_valid(None) and validator().is_valid({"parts": None, "features": {"a": None}})
