"""Messages for people, for machines, and for code hosts that mark lines; each a pure function to text.

What a shop wrote is shown as it stands, but can never move the cursor or turn the direction of writing.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import accumulate

from handwheel.reading.messages import Level, Message, Messages
from handwheel.records.places import Place

_LEVELS: tuple[Level, ...] = ("error", "warning", "note")
_COMMANDS = {"error": "error", "warning": "warning", "note": "notice"}
"""Level -> the command by which a code host marks a line."""
_TAB = 4
_WIDEST = 100
_ELLIPSIS = "…"
_WORD = re.compile(r"[\w-]+")


@dataclass(frozen=True)
class _Cell:
    """One character of a line as it is shown, and the columns that it takes up."""

    shown: str
    width: int


def as_text(messages: Messages) -> str:
    """For people: the place, what is wrong, the line with the place marked, and what would be right."""
    blocks = [_block(message, messages.line) for message in messages]
    return "\n".join([*blocks, _total(messages)]) + "\n" if blocks else ""


def as_json(messages: Messages) -> str:
    """For machines: one object with the counts and a list of messages by place."""
    listed = [_record(message) for message in messages]
    errors = sum(record["level"] == "error" for record in listed)
    document = {"errors": errors, "warnings": len(listed) - errors, "messages": listed}
    return json.dumps(document, indent=2) + "\n"


def as_annotations(messages: Messages, folder: str = "") -> str:
    """For code hosts: one `::error file=..,line=..,col=..::` command a line.

    Args:
        messages: What to say.
        folder: Put before each file's name, so that the host finds it from the top of the repository.
    """
    return "".join(f"{_annotation(message, folder)}\n" for message in messages)


def _record(message: Message) -> dict[str, object]:
    related = [{**_spot(place), "note": note} for place, note in message.related]
    said = {"what": message.what, "right": message.right, "related": related}
    return {"code": message.code, "level": message.level, **_spot(message.place), **said}


def _spot(place: Place) -> dict[str, object]:
    return {"file": place.file, "line": place.line, "column": place.column}


def _annotation(message: Message, folder: str) -> str:
    place = message.place
    file = _property(f"{folder.rstrip('/')}/{place.file}" if folder else place.file)
    right = f" (right: {message.right})" if message.right else ""
    spot = f"file={file},line={place.line},col={place.column},title={_property(message.code)}"
    return f"::{_COMMANDS[message.level]} {spot}::{_data(message.what + right)}"


def _data(text: str) -> str:
    text = text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
    return printable(text)


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")


def _block(message: Message, line: Callable[[Place], str]) -> str:
    head = f"{printable(str(message.place))}: {message.level}: {printable(message.what)} [{message.code}]"
    right = [f"  right: {printable(message.right)}"] if message.right else []
    related: list[str] = []
    for place, note in message.related:
        related += [f"  see {printable(str(place))}: {printable(note)}", *_marked(place, line(place))]
    return "\n".join([head, *_marked(message.place, line(message.place)), *right, *related, ""])


def _total(messages: Messages) -> str:
    count = Counter(message.level for message in messages)
    return ", ".join(f"{count[level]} {level}{'s' if count[level] > 1 else ''}" for level in _LEVELS if count[level])


def _marked(place: Place, line: str) -> Iterator[str]:
    """The line with its number, and below it a mark under the place."""
    if not line.strip():
        return
    word = _WORD.match(line, place.column - 1)
    length = word.end() - word.start() if word else 1
    text, start, width = _window(list(_cells(line)), place.column - 1, length)
    number = str(place.line)
    yield f"  {number} | {text}".rstrip()
    yield f"  {' ' * len(number)} | {' ' * start}^{'~' * (width - 1)}"


def _cells(line: str) -> Iterator[_Cell]:
    column = 0
    for character in line:
        width = _TAB - column % _TAB if character == "\t" else _width(character)
        shown = " " * width if character == "\t" else printable(character)
        yield _Cell(shown, width if shown == character or character == "\t" else len(shown))
        column += width


def _window(cells: list[_Cell], at: int, length: int) -> tuple[str, int, int]:
    """A line short enough to show, the column of the mark in it, and the mark's width."""
    edges = list(accumulate((cell.width for cell in cells), initial=0))
    at = min(at, len(cells))
    first = next((n for n in range(at + 1) if edges[at] - edges[n] <= _WIDEST // 2), at) if edges[-1] > _WIDEST else 0
    last = next((n for n in range(len(cells), first, -1) if edges[n] - edges[first] <= _WIDEST), first)
    before = _ELLIPSIS if first else ""
    after = _ELLIPSIS if last < len(cells) else ""
    text = before + "".join(cell.shown for cell in cells[first:last]) + after
    end = min(at + length, last)
    return text, len(before) + edges[at] - edges[first], max(1, edges[end] - edges[at] if end > at else 1)


def _width(character: str) -> int:
    """Columns that a terminal gives a character (Unicode Standard Annex 11; combining marks take none)."""
    if unicodedata.category(character) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def printable(text: Iterable[str]) -> str:
    """A text in which what does not print, or turns the direction of writing, stands as an escape."""
    return "".join(_escaped(character) for character in text)


def _escaped(character: str) -> str:
    category = unicodedata.category(character)
    if category[0] != "C" and category not in ("Zl", "Zp"):
        return character
    return character.encode("unicode_escape").decode("ascii")
