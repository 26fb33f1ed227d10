"""The file that the browser hands out -> notes. What is damaged, foreign or newer is refused whole."""

from __future__ import annotations

import datetime
import hashlib
import json
import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from handwheel.records.errors import HandwheelError

FORMAT, VERSION = "handwheel-notes", 1
MOST_BYTES, MOST_NOTES, LONGEST = 1_000_000, 1_000, 2_000
KINDS = ("note", "otherwise", "reading")
_TEXTS = ("step", "anchor", "machine", "digest", "words", "time", "kind", "text", "reading", "value", "unit")
_NEEDED = ("step", "time", "kind")
_STEP = re.compile(r"[a-z0-9][a-z0-9.-]*/[a-z0-9][a-z0-9.-]*")
_VALUE = re.compile(r"-?\d{1,9}(\.\d{1,9})?")
_READING = re.compile(r"[a-z0-9]+(?:[-.][a-z0-9]+)*")
_DIGEST = re.compile(r"[0-9a-f]{12}")


@dataclass(frozen=True)
class Note:
    """One note from the bench."""

    step: str
    """`procedure/step`."""
    kind: str
    time: str
    machine: str = ""
    digest: str = ""
    words: str = ""
    """What the step said on the page."""
    text: str = ""
    reading: str = ""
    value: str = ""
    unit: str = ""
    anchor: str = ""

    @property
    def id(self) -> str:
        """The same for the same note, in whatever file it comes."""
        parts = (self.step, self.anchor, self.kind, self.time, self.machine, self.text, self.reading, self.value)
        return "n-" + hashlib.sha256("\0".join(parts).encode("utf-8")).hexdigest()[:12]

    @property
    def date(self) -> str:
        """The day."""
        return self.time[:10]

    @property
    def says(self) -> str:
        """What it says, on one line."""
        return f"{self.value} {self.unit}".strip() if self.kind == "reading" else self.text


def read_notes(path: Path) -> tuple[Note, ...]:
    """The notes of a file, each once, in the order written.

    Raises:
        HandwheelError: the file cannot be taken in; it says why.
    """
    document = _parsed(_text(path), path)
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise HandwheelError(f"{path}: this is no file of notes; its 'format' would be '{FORMAT}'")
    version = document.get("version")
    if type(version) is not int or version < 1:
        raise HandwheelError(f"{path}: the file does not say which version of the format it is in")
    if version > VERSION:
        raise HandwheelError(
            f"{path}: version {version} of the format is newer than this handwheel, which reads {VERSION}"
        )
    listed = document.get("notes")
    if not isinstance(listed, list):
        raise HandwheelError(f"{path}: 'notes' is missing, or is no list")
    if len(listed) > MOST_NOTES:
        raise HandwheelError(f"{path}: {len(listed):,} notes; more than {MOST_NOTES:,} are not taken in at once")
    return tuple(dict.fromkeys(_note(each, f"{path}: note {number}") for number, each in enumerate(listed, 1)))


def _text(path: Path) -> str:
    try:
        if not path.is_file():
            raise HandwheelError(f"{path}: there is no such file")
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        raise HandwheelError(f"{path}: cannot be read: {getattr(error, 'strerror', None) or error}") from None
    if len(data) > MOST_BYTES:
        raise HandwheelError(f"{path}: the file is bigger than {MOST_BYTES:,} bytes; notes never are")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise HandwheelError(f"{path}: byte {error.start + 1} is not UTF-8; hand the notes out again") from None


def _parsed(text: str, path: Path) -> Any:
    try:
        return json.loads(text, object_pairs_hook=_once, parse_constant=_refused)
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise HandwheelError(f"{path}: damaged at {where}: {error.msg.lower()}") from None
    except (ValueError, RecursionError) as error:
        raise HandwheelError(f"{path}: damaged: {str(error).lower()}") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) != len(pairs):
        raise ValueError("a key stands twice in one place")
    return made


def _refused(word: str) -> None:
    raise ValueError(f"{word} is no value")


def _note(given: Any, where: str) -> Note:
    if not isinstance(given, dict):
        raise HandwheelError(f"{where} is no note")
    if strange := sorted(given.keys() - set(_TEXTS)):
        raise HandwheelError(f"{where}: {strange[0][:40]!a} is no key of a note")
    for key, value in given.items():
        if not isinstance(value, str) or len(value) > LONGEST:
            raise HandwheelError(f"{where}: '{key}' is no text of at most {LONGEST:,} letters")
    for key in _NEEDED:
        if not given.get(key):
            raise HandwheelError(f"{where}: '{key}' is missing")
    made = Note(**{key: _on_one_line(value, f"{where}: '{key}'") for key, value in given.items()})
    _judge(made, where)
    return made


def _on_one_line(text: str, where: str) -> str:
    joined = " ".join(text.split())
    try:
        joined.encode("utf-8")
    except UnicodeEncodeError:
        raise HandwheelError(f"{where} holds half a letter") from None
    if any(ord(letter) < 32 or 127 <= ord(letter) < 160 for letter in joined):
        raise HandwheelError(f"{where} holds a control character")
    return joined


def _judge(note: Note, where: str) -> None:
    if note.kind not in KINDS:
        raise HandwheelError(f"{where}: '{note.kind[:40]}' is no kind of note; one of: {', '.join(KINDS)}")
    if not _STEP.fullmatch(note.step):
        raise HandwheelError(f"{where}: '{note.step[:80]}' names no step; procedure/step is wanted")
    if note.digest and not _DIGEST.fullmatch(note.digest):
        raise HandwheelError(f"{where}: '{note.digest[:40]}' is no digest")
    try:
        datetime.datetime.fromisoformat(note.time)
    except ValueError:
        raise HandwheelError(f"{where}: '{note.time[:40]}' is no time") from None
    if note.kind == "reading" and not (_VALUE.fullmatch(note.value) and _READING.fullmatch(note.reading)):
        raise HandwheelError(f"{where}: '{note.value[:40]}' is no number, or it is not said of which reading")
    if note.kind != "reading" and not note.text:
        raise HandwheelError(f"{where} says nothing")
