"""Notes from the bench, each beside its step; those that are accepted go into the shop's files in one write."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from handwheel.desk.adding import Shop, text_of, tried
from handwheel.desk.inserting import with_record
from handwheel.desk.notes_file import Note
from handwheel.desk.whole_files import write_whole
from handwheel.desk.writing import Raw, Value
from handwheel.procedures.noted import digest_of, steps_by_id, words_of
from handwheel.records.library import Library
from handwheel.records.step_records import Step

FILE = "bench-notes.yaml"


@dataclass(frozen=True)
class Offer:
    """A note beside its step, as it is put to the person."""

    note: Note
    step: Step | None
    hindrance: str = ""
    """Why it cannot be accepted; empty when it can."""
    taken: bool = False
    """It is in the shop already."""
    dropped: bool = False
    """It was dropped before."""

    @property
    def place(self) -> str:
        """`file:line` of the step."""
        return f"{self.step.place.file}:{self.step.place.line}" if self.step else ""

    @property
    def words(self) -> str:
        """What the step says now."""
        return words_of(self.step) if self.step else ""

    @property
    def changed(self) -> bool:
        """Whether the step's words are others than when the note was written."""
        return bool(self.step and self.note.digest and digest_of(self.step) != self.note.digest)

    @property
    def open(self) -> bool:
        """Whether it can be accepted."""
        return not self.taken and not self.hindrance


def offers(library: Library, notes: Iterable[Note], dropped: Collection[str] = ()) -> tuple[Offer, ...]:
    """Each note with its step; those in `dropped` were decided against before."""
    steps = steps_by_id(library)
    known = {*library.drafts, *(each for record in library.measurements.values() for each in record.notes)}
    made = []
    for note in notes:
        step = steps.get(note.step)
        made.append(Offer(note, step, _hindrance(library, note, step), note.id in known, note.id in dropped))
    return tuple(made)


def _hindrance(library: Library, note: Note, step: Step | None) -> str:
    if step is None:
        return f"there is no step '{note.step}' in this shop"
    if note.kind != "reading":
        return ""
    reading = library.readings.get(note.reading)
    if reading is None:
        return f"there is no reading '{note.reading}' in this shop"
    return (
        "" if reading.unit == note.unit else f"measured in '{note.unit}'; '{note.reading}' is now in '{reading.unit}'"
    )


def accept(shop: Shop, accepted: Sequence[Offer]) -> int:
    """Write what is accepted into the shop; return how many records it made.

    Raises:
        HandwheelError: the shop would not load with them; nothing is changed.
    """
    path = shop.folder / FILE
    text = before = text_of(path, shop.folder)
    count = 0
    for plural, identifier, keys in _records([each.note for each in accepted if each.open]):
        text = with_record(text, plural, identifier, keys)
        count += 1
    if text != before:
        tried(shop, path, text)
        write_whole(path, text)
    return count


def _records(notes: Sequence[Note]) -> Iterator[tuple[str, str, dict[str, Value]]]:
    for note in notes:
        if note.kind != "reading":
            keys: dict[str, Value] = {"step": note.step, "says": note.text, "kind": note.kind, **_from(note)}
            yield "drafts", note.id, keys | ({"digest": note.digest} if note.digest else {})
    for group in _alike([note for note in notes if note.kind == "reading"]):
        first = group[0]
        keys = {"reading": first.reading, "step": first.step, "values": [Raw(each.value) for each in group]}
        yield "measurements", first.id.replace("n-", "m-"), keys | _from(first) | {"notes": [each.id for each in group]}


def _from(note: Note) -> dict[str, Value]:
    made: dict[str, Value] = {"date": Raw(note.date)}
    return made | {"machine": note.machine} if note.machine else made


def _alike(notes: Sequence[Note]) -> Iterator[list[Note]]:
    """Readings of one thing at one step on one machine on one day."""
    groups: dict[tuple[str, ...], list[Note]] = {}
    for note in notes:
        groups.setdefault((note.reading, note.step, note.machine, note.date), []).append(note)
    yield from groups.values()
