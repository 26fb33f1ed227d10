"""Notes that were dropped when a file was taken in: kept beside the content, so that they are not offered again.

A line a note; whoever wants one back takes its line out, or names it with `--accept`.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from pathlib import Path

from handwheel.desk.notes_file import Note
from handwheel.desk.whole_files import write_whole
from handwheel.reading.reporters import printable

FILE = "dropped-notes.txt"
HEAD = "# Notes that were dropped when they were taken in. Take a line out, and its note is offered again.\n"
_ID = re.compile(r"(n-[0-9a-f]{12})\b")


def dropped_in(folder: Path) -> frozenset[str]:
    """Ids of notes that were dropped in this shop; a line that begins with no id says nothing."""
    found = (_ID.match(line) for line in _lines(folder))
    return frozenset(each[1] for each in found if each)


def remember(folder: Path, dropped: Iterable[Note], taken: Collection[str]) -> int:
    """Add the notes that are dropped, take out those that were taken in after all; return how many were added."""
    before = _lines(folder)
    known = dropped_in(folder)
    kept = [line for line in before if not ((found := _ID.match(line)) and found[1] in taken)]
    fresh = [each for each in dict.fromkeys(dropped) if each.id not in known]
    after = [*(kept or [HEAD]), *(f"{each.id} {each.date} {each.step}: {printable(each.says)}\n" for each in fresh)]
    if fresh or kept != before:
        write_whole(folder / FILE, "".join(after))
    return len(fresh)


def _lines(folder: Path) -> list[str]:
    path = folder / FILE
    text = path.read_text("utf-8", errors="replace") if path.is_file() else ""
    return [line if line.endswith("\n") else f"{line}\n" for line in text.splitlines()]
