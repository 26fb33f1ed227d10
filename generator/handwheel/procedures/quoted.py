"""What each mark of prose quotes: its kinds of record, and the value of one record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from handwheel.machines.conditions import ALWAYS
from handwheel.procedures import wording
from handwheel.procedures.ids import own_steps, step_id
from handwheel.records.kinds import KINDS, Record
from handwheel.records.library import Library
from handwheel.records.library_records import Limit
from handwheel.records.machine_records import Reading
from handwheel.records.marks import Mark
from handwheel.records.part_records import PartRecord
from handwheel.records.values import Amount, Case, Number, Varies

Texts = Varies[str]

Found = tuple[str, str, Texts | None]
"""Kind, id and what is quoted of it; None where the record does not tell it."""

Words = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Quote:
    """One mark word: what its id may name, and what it quotes. None: the record has no such value."""

    kinds: tuple[str, ...]
    value: Callable[[Library, Any], Texts | None]
    doc: str
    example: str


def each_of(varies: Varies[Any] | None, text: Callable[[Any], str]) -> Texts | None:
    """The texts of a value, case by case; None where there is nothing to quote."""
    if varies is None:
        return None
    cases = tuple(Case(case.condition, text(case.value), case.place) for case in varies.cases)
    return Varies(cases, varies.place, varies.by) if all(case.value for case in cases) else None


def same(record: Any, text: str) -> Texts | None:
    """One text for every machine."""
    return Varies((Case(ALWAYS, text, record.place),), record.place) if text else None


def limits_text(states: tuple[str, ...], good: Iterable[str], cuts: tuple[Number, ...], unit: str) -> str:
    """`0.60 to 1.10 N`, `2 MΩ or more`, `under 4 g`: what the good states span. A cut belongs to the upper state."""
    places = sorted(states.index(state) for state in good if state in states)
    if not places:
        return ""
    low = cuts[places[0] - 1].text if places[0] > 0 else ""
    high = cuts[places[-1]].text if places[-1] < len(cuts) else ""
    if low and high:
        return f"{low} to {high} {unit}"
    return f"{low} {unit} or more" if low else f"under {high} {unit}" if high else ""


def how_tight(amount: Amount) -> str:
    """What follows 'tighten': `to 0.7 N m`, `by hand`, `until there is no shake`."""
    in_words = {"just nipped": "until just nipped", "no shake": "until there is no shake"}
    return f"to {amount.text}" if amount.value is not None else in_words.get(amount.text, amount.text)


def _limits(library: Library, record: Any) -> Texts | None:
    if isinstance(record, Reading):
        return each_of(record.cuts, lambda cuts: limits_text(record.states, record.good, cuts, record.unit))
    if isinstance(record, Limit):
        return same(record, f"{record.sense} {record.value.text} {record.unit}")
    reading = library.readings.get(record.reading)
    return _limits(library, reading) if reading else _target(library, record)


def _target(_: Library, record: Any) -> Texts | None:
    return each_of(record.target, str)


def _lubricant(library: Library, record: Any) -> Texts | None:
    named = library.of("lubricants").get(getattr(record, "lubricant", record.id))
    return same(record, wording.name_of(named) if named else record.lubricant.replace("-", " "))


QUOTES: dict[str, Quote] = {
    "see": Quote(
        (), lambda _, record: same(record, wording.name_of(record)), "A link to any record.", "<see lamp-off>"
    ),
    "part": Quote(("parts",), lambda _, r: same(r, wording.as_many(r)), "A part by its name.", "<part lamp>"),
    "count": Quote(("parts",), lambda _, r: same(r, wording.counted(r)), "A part with its number.", "<count brush>"),
    "mass": Quote(("parts",), lambda _, r: each_of(r.mass, str_of_amount), "The mass of a part.", "<mass motor>"),
    "fasteners": Quote(
        ("fasteners",),
        lambda _, r: same(r, wording.counted(r)),
        "A fastener with its number.",
        "<fasteners face-screw>",
    ),
    "fastener": Quote(
        ("fasteners",), lambda _, r: same(r, wording.name_of(r)), "One fastener by its name.", "<fastener face-screw>"
    ),
    "tighten": Quote(
        ("fasteners",), lambda _, r: each_of(r.tighten, str_of_amount), "How tight it goes.", "<tighten face-screw>"
    ),
    "tightly": Quote(
        ("fasteners",), lambda _, r: each_of(r.tighten, how_tight), "The same, after 'tighten'.", "<tightly face-screw>"
    ),
    "target": Quote(("settings",), _target, "What right is for a setting.", "<target throw>"),
    "limits": Quote(
        ("readings", "settings", "limits"), _limits, "The span within which a reading is right.", "<limits pull>"
    ),
    "dose": Quote(("oiling_points",), lambda _, r: same(r, r.dose), "How much oil.", "<dose wick-point>"),
    "needle": Quote(
        ("needles",), lambda _, r: same(r, f"needle {r.name}"), "A needle by its size.", "<needle needle-80>"
    ),
    "lubricant": Quote(
        ("oiling_points", "lubricants"), _lubricant, "Which lubricant, by its class.", "<lubricant wick-point>"
    ),
}
"""Every mark word that takes an id."""


def str_of_amount(amount: Amount) -> str:
    """The quantity as written."""
    return amount.text


_THINGS = ("procedures", "parts", "fasteners", "settings", "oiling_points", "agents", "tools", "supplies")
_ANY = (*_THINGS, *(kind for kind in KINDS if kind not in _THINGS))
"""Kinds in the order in which an id alone is looked for: a part may share its id with the feature that it carries."""


def found(library: Library, mark: Mark, words: Words) -> Iterator[Found]:
    """Kind, id and texts of everything that the mark quotes; nothing where it is wrong."""
    if not mark.id:
        for identifier in words.get(mark.word, ()):
            yield from record_of(library, "see", identifier)
        return
    if mark.word in QUOTES:
        ids = words.get(mark.id[1:], ()) if mark.id.startswith("$") else (mark.id,)
        for identifier in ids:
            yield from record_of(library, mark.word, identifier)


def record_of(library: Library, word: str, identifier: str) -> Iterator[Found]:
    """What one id gives for a mark word; nothing where no record of the right kind has it."""
    quote = QUOTES[word]
    for kind in quote.kinds or _ANY:
        record = library.of(kind).get(identifier)
        if record is not None:
            yield kind, identifier, _label(record, kind) if word == "see" else quote.value(library, record)
            return
    if word == "see" and identifier in step_ids(library):
        procedure = library.procedures[identifier.partition("/")[0]]
        yield "steps", identifier, _label(procedure, "procedures")


def _label(record: Record, kind: str) -> Texts | None:
    if isinstance(record, PartRecord):
        return same(record, wording.as_many(record))
    return same(record, wording.name_of(record, kind))


@lru_cache(maxsize=8)
def step_ids(library: Library) -> frozenset[str]:
    """Every step as `procedure/step`."""
    return frozenset(
        f"{procedure.id}/{step_id(step)}"
        for procedure in library.procedures.values()
        for step in own_steps(procedure.steps)
    )
