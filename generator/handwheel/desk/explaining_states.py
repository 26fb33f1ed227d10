"""Forms of a feature and states of other questions: which there are, and who names them."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any

from handwheel.desk.meaning import User
from handwheel.machines.conditions import Is
from handwheel.records.kinds import KINDS, Record
from handwheel.records.library import Library
from handwheel.records.machine_records import Feature, Finding, Reading
from handwheel.records.part_records import Position
from handwheel.records.step_records import By


def state_users(library: Library, question: str, state: str) -> Iterator[User]:
    """Records with a condition, an original form or an alternative that names the state."""
    for plural, record in library:
        if record.id != question and names(record, question, state):
            yield User(KINDS[plural].singular, record.id, str(record.place))


def forms_said(library: Library, record: Record) -> Iterator[tuple[str, str]]:
    """Each form or state in words; of a form, the variants that had it as built."""
    if isinstance(record, Feature):
        for form, told in record.forms.items():
            built = [each.id for each in library.variants.values() if form in each.features.get(record.id, ())]
            yield f"form {form}", f"{told.name} (as built: {', '.join(built) or 'none'})"
    elif isinstance(record, Finding | Position):
        yield from ((f"state {state}", words) for state, words in record.states.items())
    elif isinstance(record, Reading):
        yield "states", ", ".join(record.states)


def names(value: Any, question: str, state: str) -> bool:
    """Whether the state of the question is named anywhere in a value."""
    match value:
        case Is(asked, states):
            return asked == question and state in states
        case By(asked, branches) if asked == question and any(state in branch.states for branch in branches):
            return True
        case Mapping():
            found = value.get(question)
            return (isinstance(found, tuple) and state in found) or _any(value.values(), question, state)
        case tuple():
            return _any(value, question, state)
        case _ if dataclasses.is_dataclass(value):
            return _any((getattr(value, each.name) for each in dataclasses.fields(value)), question, state)
        case _:
            return False


def _any(values: Any, question: str, state: str) -> bool:
    return any(names(each, question, state) for each in values)
