"""Values and texts that differ by machine, each with the machines that it is for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from handwheel.checks.sites import Written
from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.procedures.existence import present
from handwheel.records.kinds import Record, keys_of
from handwheel.records.library import Library
from handwheel.records.places import Place
from handwheel.records.step_records import Step
from handwheel.records.values import Varies

_WITH_PRESENCE = frozenset(("parts", "fasteners", "settings", "oiling_points"))


@dataclass(frozen=True)
class Alternatives:
    """Conditions of which exactly one should hold on each machine that `within` holds on."""

    subject: str
    what: str
    conditions: tuple[Condition, ...]
    places: tuple[Place, ...]
    within: Condition
    place: Place
    by: str = ""
    """The question on which all of them hang, where they were written that way."""


def alternatives_of(library: Library, steps: Iterable[Written]) -> Iterator[Alternatives]:
    """Every value of a record and every text of a step that differs by machine."""
    for kind, record in library:
        if kind != "procedures":
            yield from _in(f"{kind}/{record.id}", record, _of_record(library, kind, record))
    for step in steps:
        if any(len(value.cases) > 1 for _, value in varying(step.step)):
            yield from _in(step.subject, step.step, step.condition)


def varying(holder: Record | Step) -> Iterator[tuple[str, Varies[Any]]]:
    """Key as written -> value, for each that may differ by machine."""
    for written, (name, _) in keys_of(type(holder)).items():
        value = getattr(holder, name)
        if isinstance(value, Varies):
            yield written, value


def _in(subject: str, holder: Record | Step, within: Condition) -> Iterator[Alternatives]:
    for written, value in varying(holder):
        if len(value.cases) > 1 or (value.cases and value.cases[0].condition != ALWAYS):
            conditions = tuple(case.condition for case in value.cases)
            places = tuple(case.place for case in value.cases)
            yield Alternatives(subject, f"'{written}'", conditions, places, within, value.place, value.by)


def _of_record(library: Library, kind: str, record: Record) -> Condition:
    if kind in _WITH_PRESENCE:
        return present(library, kind, record.id)
    when = getattr(record, "when", None)
    return when.condition if when is not None else ALWAYS
