"""Prose that cannot be resolved: unknown marks, ids of nothing, values that nobody told."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.procedures.quoted import QUOTES, record_of, step_ids
from handwheel.procedures.wording import joined
from handwheel.reading.messages import Message, nearest
from handwheel.records.kinds import Nested, Record
from handwheel.records.library import Library
from handwheel.records.marks import Mark, marks_in
from handwheel.records.places import Place
from handwheel.records.values import Text
from handwheel.records.within import every
from handwheel.records.work_records import Procedure


def check_prose(library: Library) -> Iterator[Message]:
    """A message for every mark in the library that cannot be resolved."""
    for _, record in library:
        takes = record.takes if isinstance(record, Procedure) else ()
        for text in texts_of(record):
            yield from check_text(library, text, takes)


def check_text(library: Library, text: Text, takes: tuple[str, ...] = ()) -> Iterator[Message]:
    """A message for each mark that is unknown, names nothing, or quotes a value that is not told.

    Args:
        library: Where ids are looked up.
        text: The prose.
        takes: Words of the shared run that it stands in.
    """
    for mark in marks_in(text.raw):
        yield from _wrong(library, mark, _place(text, mark), takes)


def texts_of(record: Record | Nested) -> list[Text]:
    """Every prose text of a record, nested ones included."""
    return every(Text, record)


def _wrong(library: Library, mark: Mark, place: Place, takes: tuple[str, ...]) -> Iterator[Message]:
    if mark.id and mark.word in QUOTES:
        yield from _wrong_id(library, mark, place, takes)
    elif mark.word in QUOTES and mark.word not in takes:
        example = QUOTES[mark.word].example
        yield Message("mark-without-id", place, f"'{mark.written}' says nothing of what", f"as in {example}")
    elif mark.id or mark.word not in takes:
        near = nearest(mark.word, (*QUOTES, *takes))
        right = f"did you mean '<{near}{' ' + mark.id if mark.id else ''}>'?" if near else _words_allowed(takes)
        yield Message("unknown-mark", place, f"'{mark.written}' is no mark", right)


def _wrong_id(library: Library, mark: Mark, place: Place, takes: tuple[str, ...]) -> Iterator[Message]:
    quote = QUOTES[mark.word]
    if mark.id.startswith("$"):
        if mark.id[1:] not in takes:
            near = nearest(mark.id[1:], takes)
            right = f"did you mean '${near}'?" if near else "name it under 'takes:' of a shared procedure"
            yield Message("unknown-word", place, f"'{mark.id}' is no word that this procedure takes", right)
        return
    found = next(record_of(library, mark.word, mark.id), None)
    if found is None:
        yield Message(
            "unknown-id", place, f"'{mark.written}': there is no '{mark.id}'", _nearest(library, mark, quote.kinds)
        )
    elif found[2] is None:
        what = f"'{mark.written}': '{mark.id}' does not say it"
        yield Message("nothing-to-quote", place, what, "tell the value in its record, or leave the mark out", "warning")


def _nearest(library: Library, mark: Mark, kinds: tuple[str, ...]) -> str:
    known = (*step_ids(library), *(record.id for _, record in library)) if not kinds else _ids(library, kinds)
    near = nearest(mark.id, known)
    if near:
        return f"did you mean '<{mark.word} {near}>'?"
    return (
        f"the id of one of the {joined((kind.replace('_', ' ') for kind in kinds), 'or')}"
        if kinds
        else "the id of a record"
    )


def _ids(library: Library, kinds: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(identifier for kind in kinds for identifier in library.of(kind))


def _words_allowed(takes: tuple[str, ...]) -> str:
    return f"one of {', '.join((*QUOTES, *takes))}; a '<' alone is text"


def _place(text: Text, mark: Mark) -> Place:
    """Exact for a text on one line without quotes; for others the line where it begins."""
    place = text.place
    return place._replace(column=place.column + mark.start) if place.line else place
