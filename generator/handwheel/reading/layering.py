"""Layers of files -> one entry for each record written, with the later layer over the earlier."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from handwheel.reading.folders import Layer
from handwheel.reading.messages import Messages, nearest
from handwheel.reading.nodes import read_file
from handwheel.reading.tree import Mapping, Node, Scalar
from handwheel.records.kinds import KINDS

ID_PATTERN = r"[a-z0-9]+(?:[-.][a-z0-9]+)*"
LONGEST_ID = 80
_ID = re.compile(ID_PATTERN)
REPLACES = "replaces"


@dataclass(frozen=True)
class Entry:
    """One record as written."""

    plural: str
    key: Scalar
    body: Node
    layer: str

    @property
    def replaces(self) -> bool:
        """Whether it says that it replaces an entry of an earlier layer."""
        said = self.body.get(REPLACES) if isinstance(self.body, Mapping) else None
        return isinstance(said, Scalar) and said.text == "true"


def is_id(text: str) -> bool:
    """Whether a text can be an id."""
    return _ID.fullmatch(text) is not None and len(text) <= LONGEST_ID


def id_like(text: str) -> str:
    """The id nearest to a text; empty when nothing of it can stand in one."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:LONGEST_ID].strip("-")


Entries = dict[str, dict[str, Entry]]


def read_layers(layers: tuple[Layer, ...], messages: Messages) -> tuple[Entries, bool]:
    """Every record of every layer by kind and id, in the order written; a replaced one keeps its place.

    With them, whether every file could be read: what stands in one that could not is missing.
    """
    merged: Entries = {plural: {} for plural in KINDS}
    whole = True
    for layer in layers:
        for file in layer.files:
            root = read_file(file.path, file.shown, messages)
            whole = whole and root is not None
            for entry in _entries(root, layer.name, messages) if root is not None else ():
                _merge(entry, merged[entry.plural], messages)
    return merged, whole


def _merge(entry: Entry, known: dict[str, Entry], messages: Messages) -> None:
    before = known.get(entry.key.text)
    name = f"{KINDS[entry.plural].singular} '{entry.key.text}'"
    if before is None:
        if entry.replaces:
            near = nearest(entry.key.text, known)
            right = f"did you mean '{near}'?" if near else f"no '{REPLACES}: true'"
            messages.add("replaces-nothing", entry.key.place, f"no earlier layer has a {name} to replace", right)
        known[entry.key.text] = entry
    elif before.layer == entry.layer:
        related = [(before.key.place, "first written here")]
        messages.add("duplicate-id", entry.key.place, f"{name} is written twice", "an id of its own", related=related)
    elif not entry.replaces:
        related = [(before.key.place, "the entry it would replace")]
        right = f"'{REPLACES}: true' in it, or another id"
        messages.add(
            "undeclared-replacement", entry.key.place, f"{name} is in an earlier layer", right, related=related
        )
    else:
        known[entry.key.text] = entry


def _entries(root: Mapping, layer: str, messages: Messages) -> Iterator[Entry]:
    for key, node in root.entries:
        if key.text not in KINDS:
            near = nearest(key.text, KINDS)
            right = f"did you mean '{near}'?" if near else "one of: " + ", ".join(KINDS)
            messages.add("unknown-kind", key.place, f"'{key.text}' is no kind of record", right)
        else:
            yield from _records(key.text, node, layer, messages)


def _records(plural: str, node: Node, layer: str, messages: Messages) -> Iterator[Entry]:
    if isinstance(node, Scalar) and node.is_null:
        return
    if not isinstance(node, Mapping):
        right = f"{plural}: with an id and its keys under it"
        messages.add("wrong-type", node.place, f"a map of ids is wanted under '{plural}:'", right)
        return
    for key, body in node.entries:
        if not is_id(key.text):
            shown = key.text if key.text.isprintable() else ascii(key.text)
            near = id_like(key.text)
            right = f"'{near}'" if near else "small letters, digits and '-'"
            messages.add("bad-id", key.place, f"'{shown[:80]}' cannot be an id", right)
        else:
            yield Entry(plural, key, body, layer)
