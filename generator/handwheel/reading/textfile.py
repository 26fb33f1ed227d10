"""Bytes on the disk -> text that may be parsed: size, encoding and characters are judged here."""

from __future__ import annotations

import re
import stat
from pathlib import Path

from handwheel.reading.messages import Messages
from handwheel.records.places import Place

MAX_BYTES = 4_000_000

_BOM = b"\xef\xbb\xbf"
_UTF_16_OR_32 = (b"\xff\xfe", b"\xfe\xff", b"\x00\x00\xfe\xff")
_REFUSED = re.compile("[^\t\n\r -~\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]|\r(?!\n)")
"""Not printable in the sense of YAML 1.2.2, production 1, or counted as a line break by some readers only."""


def read_text(path: Path, shown_name: str, messages: Messages, max_bytes: int = MAX_BYTES) -> str | None:
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
        messages.add(
            "unreadable-file", start, f"'{shown_name}' cannot be read: {why.lower()}", "a file that may be read"
        )
        return None
    if len(data) > max_bytes:
        messages.add("file-too-big", start, f"the file is bigger than {max_bytes:,} bytes", "several smaller files")
        return None
    return to_text(data, shown_name, messages)


def to_text(data: bytes, shown_name: str, messages: Messages) -> str | None:
    """Bytes as text; UTF-8, with or without a byte order mark, and no control characters."""
    if data.startswith(_UTF_16_OR_32):
        right = "the file saved again as UTF-8"
        messages.add("not-utf-8", Place(shown_name), "the file is UTF-16 or UTF-32, byte 1 says so", right)
        return None
    data = data.removeprefix(_BOM)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        _say_undecodable(data, error.start, shown_name, messages)
        return None
    messages.remember(shown_name, text)
    return text if _says_no_control_characters(text, shown_name, messages) else None


def place_of(text: str, index: int, file: str) -> Place:
    """The place of a character in a text whose lines end in line feeds."""
    return Place(file, text.count("\n", 0, index) + 1, index - (text.rfind("\n", 0, index) + 1) + 1)


def _say_undecodable(data: bytes, at: int, shown_name: str, messages: Messages) -> None:
    before = data[:at].decode("utf-8")
    messages.remember(shown_name, data.decode("utf-8", "replace"))
    what = f"byte {at + 1} (0x{data[at]:02x}) is not UTF-8"
    messages.add("not-utf-8", place_of(before, len(before), shown_name), what, "the file saved again as UTF-8")


def _says_no_control_characters(text: str, shown_name: str, messages: Messages) -> bool:
    found = list(_REFUSED.finditer(text))
    for match in found[:20]:
        what = f"the character U+{ord(match[0]):04X} cannot stand in a text file"
        messages.add("control-character", place_of(text, match.start(), shown_name), what, "the line without it")
    return not found
