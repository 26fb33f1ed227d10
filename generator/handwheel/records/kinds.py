"""How a record kind is declared: a frozen dataclass whose fields carry their key's description.

What `dataclass` would write out and compile for each of a hundred classes (how a record is made, compared and shown)
is written once here, since that took half of the time in which the program starts.
"""

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
        made = dataclass(init=False, repr=False, eq=False, kw_only=True)(cls)
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


class _Value:
    """Made with keywords, never changed, equal where class and all that counts are."""

    def __init__(self, **given: Any) -> None:
        told = self.__dict__
        mine: Any = type(self)
        for name, default, factory in _defaults(mine):
            if name in given:
                told[name] = given.pop(name)
            elif factory is not dataclasses.MISSING:
                told[name] = factory()
            elif default is dataclasses.MISSING:
                raise TypeError(f"{mine.__name__}() needs '{name}'")
            else:
                told[name] = default
        if given:
            raise TypeError(f"{mine.__name__}() has no {', '.join(map(repr, given))}")

    def __setattr__(self, name: str, value: Any) -> None:
        raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")

    def __delattr__(self, name: str) -> None:
        raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        mine: Any = type(self)
        return all(self.__dict__[name] == other.__dict__[name] for name in _compared(mine))

    def __hash__(self) -> int:
        mine: Any = type(self)
        return hash(tuple(self.__dict__[name] for name in _compared(mine)))

    def __repr__(self) -> str:
        told = ", ".join(f"{name}={value!r}" for name, value in self.__dict__.items())
        return f"{type(self).__qualname__}({told})"


@cache
def _defaults(cls: type[Any]) -> tuple[tuple[str, Any, Any], ...]:
    """Name, default and what makes one, of each field."""
    return tuple((each.name, each.default, each.default_factory) for each in dataclasses.fields(cls))


@cache
def _compared(cls: type[Any]) -> tuple[str, ...]:
    return tuple(each.name for each in dataclasses.fields(cls) if each.compare)


@record()
class Record(_Value):
    """What all records have: id, place, the place of each key, and the layer that they come from."""

    id: str = ""
    place: Place = NOWHERE
    at: Mapping[str, Place] = field(default_factory=dict, hash=False, compare=False)
    layer: str = field(default="", compare=False)

    def where(self, name: str) -> Place:
        """Place of a key's value, or of the record where the key is absent."""
        return self.at.get(name, self.place)


@record()
class Nested(_Value):
    """What all nested records have: their place and that of each key."""

    place: Place = NOWHERE
    at: Mapping[str, Place] = field(default_factory=dict, hash=False, compare=False)

    def where(self, name: str) -> Place:
        """Place of a key's value, or of the record where the key is absent."""
        return self.at.get(name, self.place)
