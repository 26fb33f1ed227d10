"""How a record kind is declared: a frozen dataclass whose fields carry their key's description."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, TypeVar, dataclass_transform

from handwheel.records.places import Place
from handwheel.records.shapes import Key, Shape

NOWHERE = Place("", 0, 0)
C = TypeVar("C")


def key(shape: Shape, doc: str, example: str, *, required: bool = False, yaml: str = "", default: Any = None) -> Any:
    """A dataclass field with its key's description; an optional key gets the default when absent."""
    described = Key(shape, doc, example, required, yaml)
    if required:
        return field(metadata={"key": described})
    if default == {}:
        return field(default_factory=dict, metadata={"key": described})
    return field(default=default, metadata={"key": described})


@dataclass(frozen=True)
class Kind:
    """A record kind: its key at the top of a file, its word in the singular, its class."""

    plural: str
    singular: str
    cls: type[Any]
    doc: str
    label: str
    """Field that names a record to a reader (`name`, `title`, `ask` ...)."""


KINDS: dict[str, Kind] = {}


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(key, field))
def record(plural: str = "", singular: str = "", label: str = "name") -> Callable[[type[C]], type[C]]:
    """Make the class a record; with `plural` it is a kind that stands at the top of a file."""

    def declare(cls: type[C]) -> type[C]:
        made = dataclass(frozen=True, kw_only=True)(cls)
        if plural:
            KINDS[plural] = Kind(plural, singular, made, (made.__doc__ or "").strip(), label)
        return made

    return declare


@cache
def keys_of(cls: type[Any]) -> Mapping[str, tuple[str, Key]]:
    """YAML key -> (field name, description) of a record class, in the order declared."""
    found = {}
    for each in dataclasses.fields(cls):
        described = each.metadata.get("key")
        if described is not None:
            found[described.yaml or each.name] = (each.name, described)
    return found


def fields_of(record: object) -> tuple[str, ...]:
    """Names of all fields of a record, in the order declared."""
    return _fields_of(type(record))


@cache
def _fields_of(cls: Any) -> tuple[str, ...]:
    return tuple(each.name for each in dataclasses.fields(cls))


@dataclass(frozen=True, kw_only=True)
class Record:
    """What all records have: id, place, the place of each key, and the layer that they come from."""

    id: str = ""
    place: Place = NOWHERE
    at: Mapping[str, Place] = field(default_factory=dict, hash=False, compare=False)
    layer: str = field(default="", compare=False)

    def where(self, name: str) -> Place:
        """Place of a key's value, or of the record where the key is absent."""
        return self.at.get(name, self.place)


@dataclass(frozen=True, kw_only=True)
class Nested:
    """What all nested records have: their place and that of each key."""

    place: Place = NOWHERE
    at: Mapping[str, Place] = field(default_factory=dict, hash=False, compare=False)

    def where(self, name: str) -> Place:
        """Place of a key's value, or of the record where the key is absent."""
        return self.at.get(name, self.place)
