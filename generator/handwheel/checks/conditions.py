"""Every condition that is written in a record, with the place where it stands."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from handwheel.machines.conditions import All, Condition, Is, Not, OfVariant
from handwheel.machines.conditions import Any as AnyOf
from handwheel.records.places import Place
from handwheel.records.values import Varies, When
from handwheel.records.within import held_by


def conditions_of(value: Any) -> list[tuple[Condition, Place]]:
    """Conditions of a record or of anything in it; the cases of `by:` are forms, and not among them."""
    found: list[tuple[Condition, Place]] = []
    _collect(value, found)
    return found


def _collect(value: Any, found: list[tuple[Condition, Place]]) -> None:
    kind = type(value)
    if kind is When:
        found.append((value.condition, value.place))
    elif kind is Varies:
        for case in value.cases:
            if not value.by:
                found.append((case.condition, case.place))
            _collect(case.value, found)
    else:
        for each in held_by(value):
            _collect(each, found)


def inside(condition: Condition) -> Iterator[Condition]:
    """The condition and all that it is made of."""
    yield condition
    match condition:
        case Not(part):
            yield from inside(part)
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from inside(part)
        case Is() | OfVariant():
            pass
