"""What a word of a shop is: an id, a form, a key, a kind, a mark, a rule; where it stands and who uses it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from handwheel.checks.registry import rules_by_id
from handwheel.desk.explaining_keys import key_meanings
from handwheel.desk.explaining_machines import Machines, condition_of, machines_of
from handwheel.desk.explaining_states import forms_said, state_users
from handwheel.desk.meaning import Meaning, User
from handwheel.machines.conditions import Is
from handwheel.procedures.ids import step_id
from handwheel.procedures.quoted import QUOTES
from handwheel.procedures.wording import name_of
from handwheel.reading.linking import nested
from handwheel.reading.messages import nearest
from handwheel.records.kinds import KINDS, Kind, Record, keys_of
from handwheel.records.library import Library
from handwheel.records.machine_records import QUESTIONS
from handwheel.records.places import Place
from handwheel.records.shapes import Prose
from handwheel.records.step_records import Step
from handwheel.records.uses import users

__all__ = ["Explained", "explain"]


@dataclass(frozen=True)
class Explained:
    """All that a word means; the nearest known word where it means nothing."""

    word: str
    meanings: tuple[Meaning, ...] = field(default=())
    nearest: str = ""


def explain(library: Library, word: str) -> Explained:
    """What a word means, in every sense that it has."""
    bare = word.strip("<>").strip()
    found = tuple(_meanings(library, bare))
    return Explained(word, found, "" if found else nearest(bare, set(_known(library))))


def _meanings(library: Library, word: str) -> Iterator[Meaning]:
    yield from _records(library, word)
    yield from _steps(library, word)
    yield from _forms(library, word)
    yield from _kinds(library, word)
    yield from key_meanings(library, word)
    yield from _marks(word)
    yield from _rules(library, word)


def _known(library: Library) -> Iterator[str]:
    for kind in KINDS.values():
        yield from (kind.plural, kind.singular, *keys_of(kind.cls), *library.of(kind.plural))
    yield from keys_of(Step)
    for _, _, states in _questions(library):
        yield from states
    yield from QUOTES
    yield from rules_by_id()


def _records(library: Library, word: str) -> Iterator[Meaning]:
    for plural, kind in KINDS.items():
        record = library.of(plural).get(word)
        if record is not None:
            yield Meaning(
                what=f"{kind.singular} '{word}'",
                name=name_of(record, plural),
                about=kind.doc,
                place=str(record.place),
                said=(*_said(record), *forms_said(library, record)),
                users=_users(library, plural, word),
                machines=_machines(library, plural, word),
            )


def _said(record: Record) -> Iterator[tuple[str, str]]:
    """Texts of the record: what it says of itself."""
    for name, (field_name, described) in keys_of(type(record)).items():
        value = getattr(record, field_name)
        if isinstance(described.shape, Prose) and value is not None:
            yield name, value.raw


def _users(library: Library, plural: str, identifier: str) -> tuple[User, ...]:
    found = users(library).get((plural, identifier), ())
    return tuple(User(KINDS[kind].singular, name, str(library.of(kind)[name].place)) for kind, name in found)


def _machines(library: Library, plural: str, identifier: str) -> Machines | None:
    condition = condition_of(library, plural, identifier)
    return None if condition is None else machines_of(library, condition)


def _steps(library: Library, word: str) -> Iterator[Meaning]:
    procedure, _, name = word.rpartition("/")
    wanted = [library.procedures[procedure]] if procedure in library.procedures else []
    for each in wanted or ([] if procedure else library.procedures.values()):
        for node in nested(each.steps):
            if isinstance(node, Step) and step_id(node) == name:
                texts = tuple(("do", case.value.raw) for case in node.do.cases)
                machines = machines_of(library, node.when.condition) if node.when else None
                what = f"step '{each.id}/{name}'"
                yield Meaning(
                    what, about=(Step.__doc__ or "").strip(), place=str(node.place), said=texts, machines=machines
                )


def _questions(library: Library) -> Iterator[tuple[str, Record, tuple[str, ...]]]:
    for plural in QUESTIONS:
        for record in library.of(plural).values():
            states = getattr(record, "forms", None) or getattr(record, "states", None) or ()
            derived = tuple(line.form for line in getattr(record, "derived", ()))
            yield plural, record, (*states, *derived)
    for record in library.positions.values():
        yield "positions", record, tuple(record.states)


def _forms(library: Library, word: str) -> Iterator[Meaning]:
    for plural, record, states in _questions(library):
        if word in states:
            forms = getattr(record, "forms", {})
            place: Place = forms[word].place if word in forms else record.place
            sort = "form" if plural == "features" else "state"
            machines = machines_of(library, Is(record.id, frozenset((word,)))) if plural == "features" else None
            name = forms[word].name if word in forms else ""
            yield Meaning(
                what=f"{sort} '{word}' of the {KINDS[plural].singular} '{record.id}'",
                name=name,
                place=str(place),
                users=tuple(state_users(library, record.id, word)),
                machines=machines,
            )


def _kinds(library: Library, word: str) -> Iterator[Meaning]:
    plain = word.replace("-", " ").replace("_", " ")
    for kind in KINDS.values():
        if plain in (kind.singular, kind.plural.replace("_", " ")):
            yield _kind(library, kind)


def _kind(library: Library, kind: Kind) -> Meaning:
    keys = ", ".join(f"{name}{'*' * described.required}" for name, (_, described) in keys_of(kind.cls).items())
    said = (("keys (* must be there)", keys), ("written", f"{len(library.of(kind.plural))} here"))
    return Meaning(f"kind of record, under '{kind.plural}:'", kind.singular, kind.doc, said=said)


def _marks(word: str) -> Iterator[Meaning]:
    if word in QUOTES:
        quote = QUOTES[word]
        kinds = ", ".join(KINDS[kind].singular for kind in quote.kinds)
        said = (("its id is that of", kinds), ("such as", quote.example))
        yield Meaning(f"mark '<{word} id>' of running text", "", quote.doc, said=said)


def _rules(library: Library, word: str) -> Iterator[Meaning]:
    rule = rules_by_id().get(word)
    if rule is None:
        return
    page = rule.page
    level = f"{rule.level}{'; it can be neither changed nor accepted' if rule.fixed else ''}"
    parts = (
        ("level", level),
        ("what it proves", page.proves),
        ("why it matters at the bench", page.matters),
        ("failing example", page.failing),
        ("passing example", page.passing),
        ("how to mend it", page.mend),
        ("sources", page.sources),
    )
    accepted = [record for record in library.of("accepted").values() if getattr(record, "rule", "") == word]
    found = tuple(User("accepted finding", record.id, str(record.place)) for record in accepted)
    yield Meaning(f"rule '{word}'", "", f"{page.defect}.", said=tuple(part for part in parts if part[1]), users=found)
