"""Where something was written."""

from __future__ import annotations

from typing import NamedTuple


class Place(NamedTuple):
    """A point in a shop's file; line and column count from 1, the file's name has forward slashes."""

    file: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"
