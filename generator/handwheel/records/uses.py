"""Who refers to whom: every reference in every record, found by the shapes that the keys declare."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from typing import Any

from handwheel.machines.conditions import All, Condition, Is, Not, OfVariant
from handwheel.machines.conditions import Any as AnyOf
from handwheel.records import shapes as s
from handwheel.records import values as v
from handwheel.records.kinds import KINDS, Record, keys_of
from handwheel.records.library import Library
from handwheel.records.machine_records import QUESTIONS
from handwheel.records.marks import marks_in
from handwheel.records.step_records import By, Node, OneOf

EVERY_KIND = tuple(KINDS)
Reference = tuple[tuple[str, ...], str]
"""Kinds that the reference may lead to, and the id."""

_STATE_KINDS = {
    "features": ("features",),
    "findings": ("findings",),
    "positions": ("positions",),
    "questions": QUESTIONS,
}


@lru_cache(maxsize=8)
def users(library: Library) -> Mapping[tuple[str, str], tuple[tuple[str, str], ...]]:
    """(kind, id) -> the (kind, id) of every record that refers to it, each once, in the order of the library."""
    found: dict[tuple[str, str], dict[tuple[str, str], None]] = {}
    bearing: dict[str, list[str]] = {}
    for plural, record in library:
        bearing.setdefault(record.id, []).append(plural)
    for plural, record in library:
        for kinds, identifier in references(record):
            for kind in kinds if kinds is not EVERY_KIND else bearing.get(identifier, ()):
                if identifier in library.of(kind) and (kind, identifier) != (plural, record.id):
                    found.setdefault((kind, identifier), {})[(plural, record.id)] = None
    return {target: tuple(sources) for target, sources in found.items()}


def references(record: Record) -> Iterator[Reference]:
    """Every reference that a record makes, in the order written, with repetition."""
    yield from _of_keys(record)


def _of_keys(holder: Any) -> Iterator[Reference]:
    for name, described in keys_of(type(holder)).values():
        value = getattr(holder, name)
        if value is not None:
            yield from _of_value(described.shape, value)


def _of_value(shape: s.Shape, value: Any) -> Iterator[Reference]:
    match shape:
        case s.Ref(kinds):
            if value and value not in shape.words:
                yield kinds, value
        case s.StepRef():
            yield ("procedures",), value.partition("/")[0]
        case s.Cite():
            yield ("sources",), value.source
        case s.Prose():
            yield from ((EVERY_KIND, mark.id) for mark in marks_in(value.raw) if mark.id)
        case s.When():
            yield from of_condition(value.condition)
        case s.Many(item):
            for each in value:
                yield from _of_value(item, each)
        case s.Map(item, keys):
            for key, each in value.items():
                if keys is not None:
                    yield keys.kinds, key
                yield from _of_value(item, each)
        case s.States(of):
            yield from ((_STATE_KINDS[of], question) for question in value if of in _STATE_KINDS)
        case s.Part():
            yield from _of_keys(value)
        case s.Varying(item):
            yield from _of_cases(item, value)
        case s.Nodes():
            yield from of_nodes(value)


def _of_cases(item: s.Shape, value: v.Varies[Any]) -> Iterator[Reference]:
    for case in value.cases:
        yield from of_condition(case.condition)
        yield from _of_value(item, case.value)


def of_nodes(nodes: Iterable[Node]) -> Iterator[Reference]:
    """References of steps and of what holds them."""
    for node in nodes:
        match node:
            case By(question, branches):
                yield QUESTIONS, question
                for branch in branches:
                    yield from of_nodes(branch.steps)
            case OneOf(alternatives):
                for each in alternatives:
                    yield from _of_keys(each)
            case _ if dataclasses.is_dataclass(node):
                yield from _of_keys(node)


def of_condition(condition: Condition) -> Iterator[Reference]:
    """Questions and variants that a condition names."""
    match condition:
        case Is(question, _):
            yield QUESTIONS, question
        case OfVariant(variants):
            yield from ((("variants",), each) for each in sorted(variants))
        case Not(part):
            yield from of_condition(part)
        case All(parts) | AnyOf(parts):
            for part in parts:
                yield from of_condition(part)
