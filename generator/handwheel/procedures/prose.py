"""Prose for one machine: its marks resolved to pieces, or told of where they cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from handwheel.machines.conditions import Condition
from handwheel.procedures.judge import Judge, Settled
from handwheel.procedures.quoted import Words, found
from handwheel.procedures.wording import condition_words, joined
from handwheel.records.library import Library
from handwheel.records.marks import Chars, Mark, Stressed, marks_in, parse

UNKNOWN = "(not known yet)"
"""Stands where a record that is quoted lacks the value."""


@dataclass(frozen=True)
class Plain:
    """Text."""

    text: str


@dataclass(frozen=True)
class Emphasis:
    """Text that is stressed."""

    pieces: tuple[Plain | Quoted, ...]


@dataclass(frozen=True)
class Quoted:
    """A value, name or link taken from a record."""

    mark: str
    kind: str
    """Plural of the record's kind; `steps` for a step, empty where nothing has the id."""
    id: str
    texts: Settled[str]


Piece = Plain | Emphasis | Quoted
Pieces = tuple[Piece, ...]


def pieces(judge: Judge, raw: str, words: Words | None = None) -> Pieces:
    """The text's pieces for the machines that the judge still holds possible."""
    return tuple(piece for token in parse(raw) for piece in _pieces(judge, token, words or {}))


def plain_text(library: Library, text: Pieces) -> str:
    """The pieces in one line, for a terminal; alternatives with what they hang on."""
    return "".join(_text(library, piece) for piece in text)


def options_text(library: Library, texts: Settled[str]) -> str:
    """`0.7 N m`, or `0.7 N m (lamp: bracket) or 0.8 N m (lamp: stalk)`."""
    if texts.fixed is not None or not texts.options:
        return texts.fixed or UNKNOWN
    return joined((f"{each.value} ({condition_words(library, each.condition, True)})" for each in texts.options), "or")


def conditions_in(library: Library, raw: str, words: Words | None = None) -> Iterator[Condition]:
    """Every condition that a value quoted in the text hangs on."""
    for mark in marks_in(raw):
        for _, _, texts in found(library, mark, words or {}):
            yield from (case.condition for case in texts.cases) if texts else ()


def _pieces(judge: Judge, token: Chars | Mark | Stressed, words: Words) -> Iterator[Piece]:
    match token:
        case Chars(text):
            yield Plain(text)
        case Stressed(tokens):
            inner = (piece for each in tokens for piece in _pieces(judge, each, words))
            yield Emphasis(tuple(piece for piece in inner if not isinstance(piece, Emphasis)))
        case Mark():
            yield from _quoted(judge, token, words)


def _quoted(judge: Judge, mark: Mark, words: Words) -> Iterator[Plain | Quoted]:
    records = list(found(judge.ground.library, mark, words))
    if not records:
        yield Plain(mark.written)
    for place, (kind, identifier, texts) in enumerate(records):
        if place:
            yield Plain(" and " if place == len(records) - 1 else ", ")
        settled = judge.settle(texts, str) if texts else Settled[str](())
        yield Quoted(mark.word, kind, identifier, settled)


def _text(library: Library, piece: Piece) -> str:
    match piece:
        case Plain(text):
            return text
        case Emphasis(held):
            return "".join(_text(library, each) for each in held)
        case Quoted(texts=texts):
            return options_text(library, texts)
