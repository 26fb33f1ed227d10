"""A shop's folders -> the linked library, with every message of the run."""

from __future__ import annotations

import gc
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from handwheel.reading.context import CHOICE_STATES, Context, Index
from handwheel.reading.folders import layers as find_layers
from handwheel.reading.layering import REPLACES, Entries, Entry, read_layers
from handwheel.reading.linking import check_links
from handwheel.reading.messages import Messages
from handwheel.reading.reporters import as_text
from handwheel.reading.scalars import BAD, read_yes_no, wrong
from handwheel.reading.tree import Mapping, Node, Scalar
from handwheel.reading.tree import Sequence as List
from handwheel.reading.typed import read_keys
from handwheel.records.errors import InputErrors
from handwheel.records.kinds import KINDS, Record
from handwheel.records.library import Library


def load(folders: Sequence[Path]) -> Library:
    """Read the folders as layers, later over earlier.

    Raises:
        InputErrors: what was written cannot be used; it carries every message of the run.
    """
    messages = Messages()
    library = read_library(folders, messages)
    if library is None:
        raise InputErrors(messages.errors, as_text(messages))
    return library


def read_library(folders: Sequence[Path], messages: Messages) -> Library | None:
    """The same, with the messages (warnings too) collected; None when there is an error."""
    with _no_collector():
        layers = find_layers(folders, messages)
        if any(message.code == "missing-folder" for message in messages.errors):
            return None  # all that it would have told is then missing, too: of no use to anybody as messages
        entries, whole = read_layers(layers, messages)
        context = Context(messages, index_of(entries), whole=whole)
        kinds = {plural: dict(_typed(found.values(), context)) for plural, found in entries.items()}
        library = Library(
            kinds,
            frozenset(context.year_cuts),
            frozenset(context.serial_cuts),
            {layer.name: str(layer.root) for layer in layers},
        )
        check_links(library, context)
    return None if messages.errors else library


@contextmanager
def _no_collector() -> Iterator[None]:
    """Reading makes many small values and no cycles; the cycle collector would walk them again and again."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _typed(entries: Any, context: Context) -> Iterator[tuple[str, Record]]:
    for entry in entries:
        made = read_record(entry, context)
        if made is not None:
            yield entry.key.text, made


def read_record(entry: Entry, context: Context) -> Record | None:
    """One record; None, and messages, when it cannot be used."""
    kind = KINDS[entry.plural]
    context.layer = entry.layer
    body = entry.body
    if isinstance(body, Scalar) and body.is_null:
        body = Mapping((), body.place)
    if not isinstance(body, Mapping):
        wrong(body, context, f"the keys of a {kind.singular} are wanted here", "lines of 'key: value'")
        return None
    context.procedure = entry.key.text if entry.plural == "procedures" else ""
    context.words = frozenset(_texts(body.get("takes"))) if entry.plural == "procedures" else frozenset()
    replaces = body.get(REPLACES)
    sound = replaces is None or read_yes_no(replaces, context) is not BAD
    made = read_keys(kind.cls, body, context, also=(REPLACES,), what=kind.singular)
    if made is None or not sound:
        return None
    fields, places = made
    record: Record = kind.cls(id=entry.key.text, place=entry.key.place, at=places, layer=entry.layer, **fields)
    return record


def index_of(entries: Entries) -> Index:
    """Ids, states, families and groups of everything that was written."""
    index = Index({plural: tuple(found) for plural, found in entries.items()})
    for variant in entries["variants"].values():
        index.family_of[variant.key.text] = _text(_get(variant, "family"))
    for group in entries["groups"].values():
        index.groups[group.key.text] = (_text(_get(group, "from")), _text(_get(group, "to")))
    for plural, key in (("features", "forms"), ("findings", "states"), ("positions", "states")):
        for entry in entries[plural].values():
            index.states[entry.key.text] = _keys(_get(entry, key))
    for feature in entries["features"].values():
        if (lines := _get(feature, "derived")) is not None:
            index.states[feature.key.text] = tuple(dict.fromkeys(_derived_forms(lines)))
    for reading in entries["readings"].values():
        index.states[reading.key.text] = tuple(_texts(_get(reading, "states")))
    for choice in entries["choices"].values():
        index.states[choice.key.text] = CHOICE_STATES
    return index


def _get(entry: Entry, key: str) -> Node | None:
    return entry.body.get(key) if isinstance(entry.body, Mapping) else None


def _text(node: Node | None) -> str:
    return node.text if isinstance(node, Scalar) else ""


def _texts(node: Node | None) -> Iterator[str]:
    items = node.items if isinstance(node, List) else (node,)
    return (item.text for item in items if isinstance(item, Scalar) and not item.is_null)


def _keys(node: Node | None) -> tuple[str, ...]:
    return tuple(key.text for key, _ in node.entries) if isinstance(node, Mapping) else ()


def _derived_forms(node: Node) -> Iterator[str]:
    for line in node.items if isinstance(node, List) else (node,):
        if isinstance(line, Mapping):
            yield _text(line.get("form"))
