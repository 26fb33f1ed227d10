"""What a record or a value is made of: the one step that every walk through records is built from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, TypeVar

from handwheel.records.places import Place

_PLAIN: frozenset[type[Any]] = frozenset((str, int, float, bool, type(None), Place))
"""Nothing is in these, which are most of what there is."""

T = TypeVar("T")


def every(kind: type[T], value: Any) -> list[T]:
    """Values of one class in a record or a value, however deep, in the order of its fields."""
    found: list[T] = []
    _collect(kind, value, found)
    return found


def _collect(kind: type[T], value: Any, found: list[T]) -> None:
    if type(value) is kind:
        found.append(value)
    else:
        for each in held_by(value):
            _collect(kind, each, found)


def held_by(value: Any) -> Sequence[Any]:
    """The values directly in a record, a nested record, a list or a map, in the order written; plain ones left out."""
    kind = type(value)
    if kind in _PLAIN:
        return []
    if kind is tuple:
        found: Iterable[Any] = value
    elif isinstance(value, dict):
        found = value.values()
    else:
        found = _told_in(value)
    return [each for each in found if each and type(each) not in _PLAIN]


def _told_in(value: Any) -> Iterable[Any]:
    """Values of a record's keys; nothing in anything that is no record or value of ours."""
    held = getattr(value, "__dict__", {})
    places = held.get("at")
    return [each for each in held.values() if each is not places]
