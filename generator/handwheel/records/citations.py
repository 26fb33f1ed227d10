"""Every citation in a record, however deep."""

from __future__ import annotations

import dataclasses
from functools import lru_cache
from typing import Any

from handwheel.records.places import Place
from handwheel.records.values import Citation

_PLAIN = frozenset((str, int, float, bool, type(None), Place))
"""Nothing is looked for in these, which are most of what there is."""


def citations_in(value: Any) -> list[Citation]:
    """Citations in a record or in a value within one, in the order of its fields."""
    found: list[Citation] = []
    _collect(value, found)
    return found


def _collect(value: Any, found: list[Citation]) -> None:
    kind: Any = type(value)
    if kind in _PLAIN:
        return
    if isinstance(value, Citation):
        found.append(value)
    elif isinstance(value, tuple | list | frozenset):
        for each in value:
            _collect(each, found)
    elif hasattr(value, "values") and callable(value.values):
        for each in value.values():
            _collect(each, found)
    else:
        for name in _fields(kind):
            _collect(getattr(value, name), found)


@lru_cache(maxsize=1024)
def _fields(kind: Any) -> tuple[str, ...]:
    """Fields of a record class that may hold a citation; none of any other class."""
    if not dataclasses.is_dataclass(kind):
        return ()
    return tuple(field.name for field in dataclasses.fields(kind) if field.name not in ("at", "place"))
