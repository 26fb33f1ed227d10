"""Prose as HTML: emphasis, links and values; everything else is text."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from markupsafe import Markup, escape

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.pages.addresses import page_of
from handwheel.procedures.prose import UNKNOWN, Emphasis, Pieces, Plain, Quoted, options_text
from handwheel.procedures.quoted import Texts, found
from handwheel.procedures.wording import condition_words, joined
from handwheel.records.library import Library
from handwheel.records.marks import Chars, Mark, Stressed, parse
from handwheel.records.values import Text

To = Callable[[str], str]
"""Address of a path from the root."""

_NAMES = frozenset(("see", "part", "count", "fastener", "fasteners", "lubricant"))
"""Marks whose value names the record, so that the value is the link."""


def pieces_html(library: Library, pieces: Pieces, to: To) -> Markup:
    """Prose resolved for a machine."""
    return Markup("").join(_pieces(library, pieces, to))


def _pieces(library: Library, pieces: Iterable[Plain | Emphasis | Quoted], to: To) -> Iterator[Markup]:
    for piece in pieces:
        match piece:
            case Plain(text):
                yield escape(text)
            case Emphasis(held):
                yield Markup("<em>{}</em>").format(Markup("").join(_pieces(library, held, to)))
            case Quoted(mark, kind, identifier, texts):
                yield _quoted(mark, kind, identifier, options_text(library, texts), to)


def _quoted(mark: str, kind: str, identifier: str, shown: str, to: To) -> Markup:
    path = page_of(kind, identifier)
    if path and (mark in _NAMES or not mark):
        return Markup('<a href="{}">{}</a>').format(to(path), shown)
    return Markup('<span class="hw-value">{}</span>').format(shown)


def prose_html(library: Library, text: Text, to: To) -> Markup:
    """Prose as it holds for all machines: a value that depends on the machine stands with what it hangs on."""
    return Markup("").join(_tokens(library, parse(text.raw), to))


def _tokens(library: Library, tokens: Iterable[Chars | Mark | Stressed], to: To) -> Iterator[Markup]:
    for token in tokens:
        match token:
            case Chars(words):
                yield escape(words)
            case Stressed(held):
                yield Markup("<em>{}</em>").format(Markup("").join(_tokens(library, held, to)))
            case Mark():
                shown = [_quoted(token.word, k, i, _every(library, t), to) for k, i, t in found(library, token, {})]
                yield Markup(", ").join(shown) if shown else escape(token.written)


def _every(library: Library, texts: Texts | None) -> str:
    if texts is None:
        return UNKNOWN
    if texts.fixed is not None:
        return texts.fixed
    return joined((_case(library, each.value, each.condition) for each in texts.cases), "or")


def _case(library: Library, value: str, condition: Condition) -> str:
    return value if condition == ALWAYS else f"{value} ({condition_words(library, condition, True)})"
