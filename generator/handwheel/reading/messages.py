"""What is to be said about what was written: one value for each defect, collected over a whole run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from handwheel.reading.nearest import nearest
from handwheel.records.errors import InputErrors
from handwheel.records.places import Place

__all__ = ["Level", "Message", "Messages", "Related", "nearest"]

Level = Literal["error", "warning", "note"]
Related = tuple[tuple[Place, str], ...]


@dataclass(frozen=True, slots=True)
class Message:
    """One defect, where it stands, and one way out."""

    code: str
    """Names the defect in kebab case: `duplicate-key`."""
    place: Place
    what: str
    """What is wrong, the value quoted."""
    right: str = ""
    """What would be right."""
    level: Level = "error"
    related: Related = ()
    """Other places that belong to it, each with a few words."""

    @property
    def rank(self) -> tuple[Place, str, str, str]:
        """Sorts messages by place, in the same order in every run."""
        return self.place, self.level, self.code, self.what

    def __lt__(self, other: Message) -> bool:
        return self.rank < other.rank


class Messages:
    """Collects messages while a run goes on; says all of them, sorted, each once."""

    def __init__(self) -> None:
        self._told: set[Message] = set()
        self._texts: dict[str, str] = {}
        self._lines: dict[str, list[str]] = {}

    def add(
        self,
        code: str,
        place: Place,
        what: str,
        right: str = "",
        *,
        level: Level = "error",
        related: Iterable[tuple[Place, str]] = (),
    ) -> None:
        """Say what is wrong at a place and what would be right."""
        self.put(Message(code, place, what, right, level, tuple(related)))

    def put(self, message: Message) -> None:
        """Take a message that was made elsewhere."""
        self._told.add(message)

    def remember(self, file: str, text: str) -> None:
        """Keep a file's text, so that a message can show the line it speaks of."""
        self._texts[file] = text
        self._lines.pop(file, None)

    def line(self, place: Place) -> str:
        """The line that a place points into, or an empty string when the file was not read."""
        if (lines := self._lines.get(place.file)) is None:
            lines = self._lines[place.file] = self._texts.get(place.file, "").split("\n")
        return lines[place.line - 1].rstrip("\r") if 0 < place.line <= len(lines) else ""

    def all(self) -> tuple[Message, ...]:
        """All messages by place."""
        return tuple(sorted(self._told))

    @property
    def errors(self) -> tuple[Message, ...]:
        """The messages that stop the run."""
        return tuple(message for message in self.all() if message.level == "error")

    def raise_errors(self) -> None:
        """Raise `InputErrors` with every error, if there is one."""
        if errors := self.errors:
            raise InputErrors(errors)

    def __iter__(self) -> Iterator[Message]:
        return iter(self.all())

    def __len__(self) -> int:
        return len(self._told)
