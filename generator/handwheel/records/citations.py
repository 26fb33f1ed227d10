"""Every citation in a record, however deep."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import Any

from handwheel.records.values import Citation


def citations_in(value: Any) -> Iterator[Citation]:
    """Citations in a record or in a value within one, in the order of its fields."""
    if isinstance(value, Citation):
        yield value
    elif isinstance(value, tuple | list | frozenset):
        for each in value:
            yield from citations_in(each)
    elif hasattr(value, "values") and callable(value.values):
        yield from citations_in(tuple(value.values()))
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from citations_in(getattr(value, field.name))
