"""Every citation in a record, however deep."""

from __future__ import annotations

from typing import Any

from handwheel.records.values import Citation
from handwheel.records.within import every


def citations_in(value: Any) -> list[Citation]:
    """Citations in a record or in a value within one, in the order of its fields."""
    return every(Citation, value)
