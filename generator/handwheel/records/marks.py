"""The few marks that prose allows: `*emphasis*` and `<word id>`. Everything else is text."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

_EMPHASIS = re.compile(r"\*(?=[^\s*])([^*]*?[^\s*])\*")
_MARK = re.compile(r"<([a-z][a-z_-]*)(?:\s+([^\s<>]+))?\s*>")


@dataclass(frozen=True)
class Chars:
    """Text as it stands."""

    text: str


@dataclass(frozen=True)
class Mark:
    """`<word id>`, or `<word>` for a word of a shared run."""

    word: str
    id: str
    start: int
    """Where it begins in the text."""
    written: str


@dataclass(frozen=True)
class Stressed:
    """`*emphasis*`."""

    tokens: tuple[Chars | Mark, ...]


Token = Chars | Mark | Stressed


@lru_cache(maxsize=65536)
def parse(raw: str) -> tuple[Token, ...]:
    """The text as its pieces, in order."""
    return tuple(_tokens(raw))


def marks_in(raw: str) -> Iterator[Mark]:
    """Every mark of the text."""
    for token in parse(raw):
        held = token.tokens if isinstance(token, Stressed) else (token,)
        yield from (each for each in held if isinstance(each, Mark))


def _tokens(raw: str) -> Iterator[Token]:
    at = 0
    for found in _EMPHASIS.finditer(raw):
        yield from _plain(raw[at : found.start()], at)
        yield Stressed(tuple(_plain(found[1], found.start(1))))
        at = found.end()
    yield from _plain(raw[at:], at)


def _plain(text: str, offset: int) -> Iterator[Chars | Mark]:
    at = 0
    for found in _MARK.finditer(text):
        if found.start() > at:
            yield Chars(text[at : found.start()])
        yield Mark(found[1], found[2] or "", offset + found.start(), found[0])
        at = found.end()
    if at < len(text):
        yield Chars(text[at:])
