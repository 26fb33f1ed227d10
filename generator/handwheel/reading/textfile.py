"""Bytes on the disk -> text that may be parsed: size, encoding and characters are judged here."""

from __future__ import annotations

import re
import stat
from pathlib import Path

from handwheel.reading.defects import CONTROL, CONTROL_CHARACTER
from handwheel.reading.messages import Messages
from handwheel.records.places import Place

_BOM = b"\xef\xbb\xbf"
_UTF_16_OR_32 = (b"\xff\xfe", b"\xfe\xff", b"\x00\x00\xfe\xff")
_REFUSED = re.compile(rf"(?!\r\n){CONTROL.pattern}")
_MOST_SHOWN = 20


def read_text(path: Path, shown_name: str, messages: Messages, max_bytes: int) -> str | None:
    """The text of a file, or nothing and a message."""
    start = Place(shown_name)
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            messages.add("not-a-file", start, f"'{shown_name}' is not an ordinary file", "a text file with YAML in it")
            return None
        with path.open("rb") as file:
            data = file.read(max_bytes + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        what = f"'{shown_name}' cannot be read: {why[:1].lower()}{why[1:]}"
        messages.add("unreadable-file", start, what, "a file that is there and may be read")
        return None
    if len(data) > max_bytes:
        messages.add("file-too-big", start, f"the file is bigger than {max_bytes:,} bytes", "several smaller files")
        return None
    return to_text(data, shown_name, messages)


def to_text(data: bytes, shown_name: str, messages: Messages) -> str | None:
    """Bytes as text: UTF-8, with or without a byte order mark."""
    if data.startswith(_UTF_16_OR_32):
        _say_not_utf_8("the file's first bytes say that it is UTF-16 or UTF-32", Place(shown_name), messages)
        return None
    skipped = len(_BOM) if data.startswith(_BOM) else 0
    try:
        return data[skipped:].decode("utf-8")
    except UnicodeDecodeError as error:
        at = error.start
        messages.remember(shown_name, data[skipped:].decode("utf-8", "replace"))
        before = data[skipped : skipped + at].decode("utf-8")
        what = f"byte {skipped + at + 1} of the file (0x{data[skipped + at]:02x}) is not UTF-8"
        _say_not_utf_8(what, place_of(before, len(before), shown_name), messages)
        return None


def has_sound_characters(text: str, shown_name: str, messages: Messages) -> bool:
    """Whether a text holds no control characters; a message for each of the first few that it does hold."""
    found = _REFUSED.finditer(text)
    sound = True
    for _, match in zip(range(_MOST_SHOWN), found, strict=False):
        sound = False
        place = place_of(text, match.start(), shown_name)
        messages.put(CONTROL_CHARACTER.at(place, code=f"{ord(match[0]):04X}"))
    return sound


def place_of(text: str, index: int, file: str) -> Place:
    """The place of a character in a text whose lines end in line feeds."""
    return Place(file, text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index))


def _say_not_utf_8(what: str, place: Place, messages: Messages) -> None:
    messages.add("not-utf-8", place, what, "the file saved again as UTF-8")
