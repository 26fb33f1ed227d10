"""A figure, or a permission, that rests on nothing at all.

What it proves:
    Each record that holds a figure - a size, a mass, a torque, a target, a cut, a dose, a limit - or that says `fine`
    or `verified` names at least one source. A source covers all values of its record. "From memory" and "common
    practice" are sources too: they say what may be built on the figure.

Why it matters at the bench:
    A number without a source looks like any other number. Next year nobody knows whether it was measured or guessed.

Failing example:
    parts:
      end-cover: {name: end cover, mass: 0.2 kg}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover]}

Passing example:
    parts:
      end-cover: {name: end cover, mass: 0.2 kg, sources: [memory]}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover]}

How to mend it:
    Write `source:` (or `sources:`) with what it rests on. Where nobody knows, `from-memory` is the honest answer.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from typing import Any

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.procedures.wording import joined
from handwheel.records.citations import citations_in
from handwheel.records.kinds import KINDS, Record
from handwheel.records.library import Library
from handwheel.records.values import Amount, Number, Varies

_WORDED = {"settings": ("target",), "oiling_points": ("dose", "every"), "lubricants": ("vg", "nlgi")}
"""Keys whose figures are written as words; of other words a digit is no figure."""
_NOT_MEASURED = frozenset(("price", "at_most", "rate"))
"""Figures that nobody looks up: what the shop itself asks or pays."""


@rule("note")
def find(library: Library) -> Iterator[Finding]:
    """Records that can cite, cite nothing, and hold a figure or a permission."""
    for kind in KINDS:
        for record in library.of(kind).values():
            if _can_cite(record) and not any(citations_in(record)):
                keys = tuple(_figures(kind, record))
                if keys:
                    yield _finding(kind, record, keys)


def _finding(kind: str, record: Record, keys: tuple[str, ...]) -> Finding:
    told = joined(f"'{each}'" for each in keys)
    return Finding(
        place=record.where(keys[0]),
        subject=f"{kind}/{record.id}",
        what=f"{told} of '{record.id}' {'rests' if len(keys) == 1 else 'rest'} on no source",
        right="a source, or 'from-memory' where nobody knows",
    )


def _can_cite(record: Record) -> bool:
    return hasattr(record, "source") or hasattr(record, "sources")


def _figures(kind: str, record: Record) -> Iterator[str]:
    """Keys of the record that hold a figure or a permission."""
    for field in dataclasses.fields(record):
        value = getattr(record, field.name)
        worded = field.name in _WORDED.get(kind, ())
        if field.name not in _NOT_MEASURED and (_is_figure(value, worded) or _permits(field.name, value)):
            yield field.name


def _is_figure(value: Any, worded: bool) -> bool:
    if isinstance(value, Amount):
        return value.value is not None
    if isinstance(value, Number):
        return True
    if isinstance(value, Varies):
        return any(_is_figure(each, worded) for each in value.values)
    if isinstance(value, tuple):
        return any(_is_figure(each, worded) for each in value)
    return worded and isinstance(value, str) and bool(re.search(r"\d", value))


def _permits(key: str, value: Any) -> bool:
    return (key == "verified" and value is True) or (key == "harms" and "fine" in value.values())
