"""Every condition that is written in a record, with the place where it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from handwheel.machines.conditions import All, Condition, Is, Not, OfVariant
from handwheel.machines.conditions import Any as AnyOf
from handwheel.records.kinds import Nested, Record, fields_of
from handwheel.records.places import Place
from handwheel.records.step_records import Branch, By, OneOf
from handwheel.records.values import Varies, When


def conditions_of(value: Any) -> Iterator[tuple[Condition, Place]]:
    """Conditions of a record or of anything in it; the cases of `by:` are forms, and not among them."""
    match value:
        case When(condition=condition, place=place):
            yield condition, place
        case Varies(cases=cases, by=by):
            for case in cases:
                if not by:
                    yield case.condition, case.place
                yield from conditions_of(case.value)
        case tuple():
            for each in value:
                yield from conditions_of(each)
        case Mapping():
            yield from conditions_of(tuple(value.values()))
        case Record() | Nested() | Branch() | By() | OneOf():
            for name in fields_of(value):
                held = getattr(value, name)
                if held and not isinstance(held, str | int | Place):
                    yield from conditions_of(held)


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
