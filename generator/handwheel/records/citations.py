"""Every citation in a record, however deep."""

from __future__ import annotations

from typing import Any

from handwheel.records.values import Citation
from handwheel.records.within import held_by


def citations_in(value: Any) -> list[Citation]:
    """Citations in a record or in a value within one, in the order of its fields."""
    found: list[Citation] = []
    _collect(value, found)
    return found


def _collect(value: Any, found: list[Citation]) -> None:
    if type(value) is Citation:
        found.append(value)
    else:
        for each in held_by(value):
            _collect(each, found)
