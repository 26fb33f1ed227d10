"""Prose as rules read it: sentences, words, and the marks in them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from handwheel.records.marks import marks_in
from handwheel.records.places import Place
from handwheel.records.step_records import Step
from handwheel.records.values import Text, Varies

TEXTS = {"do": "do", "back": "back", "why": "why", "ok": "ok", "trap": "trap", "if_not": "otherwise"}
"""Key of a step's text as written -> field of the record."""
INSTRUCTIONS = ("do", "back")
"""Texts that say what to do."""

NUMBERS = {
    "both": 2, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6,
    "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12,
}  # fmt: skip
"""Words for numbers from two on; one is an article as often as a number."""

_END = re.compile(r"(?<=[.!?])[\"'”’)]*\s+")
_MARK = re.compile(r"<[a-z][a-z_-]*(?:\s+[^\s<>]+)?\s*>")
_WORD = re.compile(r"[^\W_]+(?:['’.,/-][^\W_]+)*")


@dataclass(frozen=True)
class Sentence:
    """One sentence, and where its text stands."""

    raw: str
    key: str
    """Key of the text that it stands in."""
    text: Text

    @property
    def place(self) -> Place:
        """Where the text begins."""
        return self.text.place

    @property
    def words(self) -> tuple[str, ...]:
        """Its words; a mark counts as two, since it says a name."""
        return tuple(_WORD.findall(_MARK.sub(" quoted name ", self.raw)))

    @property
    def plain(self) -> str:
        """Its text with each mark as one sign, in small letters."""
        return _MARK.sub("‹›", self.raw).casefold()

    @property
    def quoted(self) -> tuple[str, ...]:
        """Ids that its marks quote."""
        return tuple(mark.id for mark in marks_in(self.raw) if mark.id)


def texts_of_step(step: Step, keys: tuple[str, ...] = tuple(TEXTS)) -> Iterator[tuple[str, Text]]:
    """Key and text of everything that a step says, each alternative by itself."""
    for key in keys:
        varies: Varies[Text] | None = getattr(step, TEXTS[key])
        for case in varies.cases if varies else ():
            yield key, case.value


def sentences_of(step: Step, keys: tuple[str, ...] = tuple(TEXTS)) -> Iterator[Sentence]:
    """Every sentence of a step's texts."""
    for key, text in texts_of_step(step, keys):
        yield from (Sentence(raw, key, text) for raw in sentences_in(text.raw))


@lru_cache(maxsize=65536)
def sentences_in(raw: str) -> tuple[str, ...]:
    """The text taken apart where a sentence ends."""
    return tuple(part.strip() for part in _END.split(raw.replace("*", "").strip()) if part.strip())


def number_in(word: str) -> int:
    """The number that a word says: `both`, `three`, `12`."""
    return NUMBERS[word] if word in NUMBERS else int(word)


NUMBER = rf"(?:{'|'.join(NUMBERS)}|\d+)"
"""Pattern of a number from two on, in words or figures."""
