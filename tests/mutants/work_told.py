"""What the steps of a shop do, words aside: equal for two shops in which the same is done on every machine."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from handwheel.procedures.expand import expand
from handwheel.procedures.hazards import cautions_of
from handwheel.procedures.program import Act, Fork, Guarded, Item, Loop, Reached
from handwheel.records.library import Library
from handwheel.records.places import Place
from handwheel.records.step_records import EFFECTS

MORE = ("how", "shields", "leaves", "leaves_back", "people")
"""Keys of a step that say how its effects are meant."""


def work_of(library: Library) -> dict[str, Any]:
    """Procedure -> its items as plain values: conditions, effects and cautions.

    Steps in words only are left out, and with them conditions, alternatives and repeats that hold nothing else: no
    machine is left otherwise, whichever of them is taken.
    """
    return {name: tuple(_items(library, expand(library, name).items)) for name in library.procedures}


def plain(value: Any) -> Any:
    """A value without the places where it is written."""
    if isinstance(value, Place):
        return None
    if is_dataclass(value) and not isinstance(value, type):
        return type(value), tuple(plain(getattr(value, each.name)) for each in fields(value) if each.name != "at")
    if isinstance(value, Mapping):
        return tuple((key, plain(each)) for key, each in value.items())
    return tuple(map(plain, value)) if isinstance(value, tuple | list) else value


def _items(library: Library, items: Iterable[Item]) -> Iterator[Any]:
    for item in items:
        made = _item(library, item)
        if made is not None:
            yield made


def _item(library: Library, item: Item) -> Any:
    match item:
        case Act():
            done = tuple((each, plain(getattr(item.step, each))) for each in EFFECTS if getattr(item.step, each))
            told = done, cautions_of(library, item.step)
            meant = tuple(plain(getattr(item.step, each)) for each in MORE)
            return (item.condition, item.unless_apart, told, meant) if any(told) else None
        case Guarded(when, items):
            held = tuple(_items(library, items))
            return (when.condition, held) if held else None
        case Fork(question, arms):
            sides = tuple((arm.when.condition, tuple(_items(library, arm.items))) for arm in arms)
            return (question, sides) if any(held for _, held in sides) else None
        case Loop(until, at_most, items, otherwise):
            rounds, after = tuple(_items(library, items)), tuple(_items(library, otherwise))
            return (dict(until), at_most, rounds, after) if rounds or after else None
        case Reached(parts, items):
            return parts, tuple(_items(library, items))
