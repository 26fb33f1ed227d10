"""How a record kind is declared: a frozen dataclass whose fields carry their key's description."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
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


_KEYS: dict[type[Any], Mapping[str, tuple[str, Key]]] = {}


def keys_of(cls: type[Any]) -> Mapping[str, tuple[str, Key]]:
    """YAML key -> (field name, description) of a record class, in the order declared; looked up once."""
    if cls not in _KEYS:
        told = ((each.name, each.metadata["key"]) for each in dataclasses.fields(cls) if "key" in each.metadata)
        _KEYS[cls] = {described.yaml or name: (name, described) for name, described in told}
    return _KEYS[cls]


_FIELDS: dict[type[Any], tuple[str, ...]] = {}


def fields_of(record: Any) -> tuple[str, ...]:
    """Names of all fields of a record, in the order declared; looked up once for its class."""
    cls = type(record)
    if cls not in _FIELDS:
        _FIELDS[cls] = tuple(each.name for each in dataclasses.fields(cls))
    return _FIELDS[cls]


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
