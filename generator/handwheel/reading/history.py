"""When content was last changed, out of the version history that it lies in, and a digest of all of it.

Dates are the committers' own calendar days, so that they are the same wherever the site is built. Where a layer lies in
no repository, or no `git` is there, nothing is said. What is changed and not yet committed bears the date of its last
commit.
"""

from __future__ import annotations

import hashlib
import subprocess
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

DIGITS = 12
MADE_FROM = frozenset((".yaml", ".yml", ".svg", ".png", ".jpg", ".jpeg", ".webp", ".vtt", ".srt"))
"""Endings of files that pages are made from; a recording that lies beside them is not read."""


@dataclass(frozen=True)
class History:
    """What is known of the layers of a library."""

    digest: str
    """Of the files that pages are made from: names and bytes."""
    changed: Mapping[str, str] = field(default_factory=dict)
    """`layer/path` of a file, as messages show it -> the day of the newest commit that touched it."""

    @property
    def newest(self) -> str:
        """The newest of these days; empty where none is known."""
        return max(self.changed.values(), default="")

    def of(self, place: str) -> str:
        """The day for a place, `file:line`; the newest of all where the place is empty or its file is unknown."""
        return self.changed.get(place.partition(":")[0], self.newest)


def history_of(roots: Mapping[str, str]) -> History:
    """The history of layers, given as name -> folder."""
    digest = hashlib.sha256()
    changed: dict[str, str] = {}
    for name in sorted(roots):
        root = Path(roots[name])
        for path in sorted(_files(root)):
            shown = f"{name}/{path.relative_to(root).as_posix()}"
            content = path.read_bytes()
            digest.update(f"{shown}\0{len(content)}\0".encode())
            digest.update(content)
        changed.update(_days(name, root))
    return History(digest.hexdigest()[:DIGITS], changed)


def _files(root: Path) -> Iterator[Path]:
    for path in root.rglob("*"):
        hidden = any(part.startswith(".") for part in path.relative_to(root).parts)
        if path.suffix.lower() in MADE_FROM and path.is_file() and not hidden:
            yield path


def _days(name: str, root: Path) -> dict[str, str]:
    """`layer/path` -> day, newest commits first, so that the first day told of a file is its last change."""
    command = ["git", "-C", str(root), "log", "--format=%x00%cs", "--name-only", "--relative", "-z", "--", "."]
    try:
        told = subprocess.run(command, capture_output=True, check=True, timeout=60).stdout.decode("utf-8", "replace")
    except (OSError, subprocess.SubprocessError):
        return {}
    found: dict[str, str] = {}
    day = ""
    for piece in told.split("\0"):
        text = piece.strip("\n")
        if _is_day(text):
            day = text
        elif text and day:
            found.setdefault(f"{name}/{text}", day)
    return found


def _is_day(text: str) -> bool:
    return len(text) == 10 and text[4] == text[7] == "-" and text.replace("-", "").isdigit()
