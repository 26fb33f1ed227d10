"""Two sources for one value: what each gives, and by how much they are apart.

Nothing is converted in silence: the sum shows both as written and in one unit.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from handwheel.engineering.unit_table import COMMON
from handwheel.engineering.units import Dimension, UnitError, parse, significant
from handwheel.evidence.standing import Standing, of_citation, of_citations
from handwheel.evidence.verdict import DIMENSIONS, Outcome
from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.records.kinds import Record, keys_of
from handwheel.records.library import Library
from handwheel.records.told_records import AlsoTold
from handwheel.records.values import Amount, Number, Varies

ROUNDING = 0.01
"""Share of the value that rounding may hide, however few digits are written."""
_WRITTEN = re.compile(r"\s*(?:(\d+)\s+)?(?:(\d+)\s*/\s*(\d+)|(\d*\.?\d+))\s*(.*?)\s*")


@dataclass(frozen=True)
class Told:
    """A value as written: its text, its number in the unit `unit`, and half its last digit there."""

    text: str
    value: float
    half: float
    unit: str


@dataclass(frozen=True)
class Compared:
    """The record's own value against another source's.

    Args:
        also: what the other source gives.
        condition: machines that the own value is for.
        outcome: agrees, differs, or cannot be checked.
        says: by how much, or why not.
        arithmetic: the comparison, a line each.
        standing: of the other source.
        raises: the own value lies higher than the other's.
    """

    also: AlsoTold
    condition: Condition
    outcome: Outcome
    says: str
    arithmetic: tuple[str, ...]
    standing: Standing
    raises: bool = False


def compared_with(library: Library, record: Record) -> Iterator[Compared]:
    """Each value that another source gives, against each of the record's own; nothing for kinds without such."""
    for also in getattr(record, "also_told", ()):
        standing = of_citation(library, also.source)
        own = list(own_values(record, also.of))
        if not own:
            says = f"'{also.of}' is no value of this record: {', '.join(_keys(record)) or 'it has none'}"
            yield Compared(also, ALWAYS, Outcome.UNCHECKED, says, (), standing)
        for condition, text, dimension in own:
            yield _compared(also, condition, text, dimension, standing)


def standing_here(library: Library, record: Any) -> Standing:
    """What the record's own values rest on."""
    one = getattr(record, "source", None)
    return of_citations(library, (one, *getattr(record, "sources", ())))


def own_values(record: Record, key: str) -> Iterator[tuple[Condition, str, Dimension | None]]:
    """The record's own values of a key: on which machines, the text, and the dimension where it is known."""
    field = next((name for told, (name, _) in keys_of(type(record)).items() if told == key), "")
    yield from _each(record, getattr(record, field, None) if field else None)


def _keys(record: Record) -> list[str]:
    return [key for key in keys_of(type(record)) if any(own_values(record, key))]


def _each(record: Record, value: object) -> Iterator[tuple[Condition, str, Dimension | None]]:
    match value:
        case Amount(text, number, dimension) if number is not None:
            yield ALWAYS, text, DIMENSIONS.get(dimension)
        case Number(text):
            yield ALWAYS, f"{text} {getattr(record, 'unit', '')}".strip(), None
        case bool():
            return
        case int():
            yield ALWAYS, str(value), Dimension.NUMBER
        case Varies(cases):
            for case in cases:
                if isinstance(case.value, (Amount, Number)):
                    yield from ((case.condition, text, kind) for _, text, kind in _each(record, case.value))
                elif isinstance(case.value, str) and _WRITTEN.fullmatch(case.value):
                    yield case.condition, case.value, None


def _compared(also: AlsoTold, condition: Condition, text: str, dimension: Dimension | None, of: Standing) -> Compared:
    try:
        here, there = _in_one_unit(text, also.value, dimension)
    except ValueError as error:
        return Compared(also, condition, Outcome.UNCHECKED, str(error), (), of)
    off = there.value - here.value
    unit = f" {here.unit}".rstrip()
    sums = (f"here {here.text}", f"there {there.text}", f"{_n(there.value)} - {_n(here.value)} = {_n(off, True)}{unit}")
    allowed = min(max(here.half, there.half), ROUNDING * abs(here.value))
    if abs(off) <= allowed * (1 + 1e-9) + 1e-12 * abs(here.value):
        return Compared(also, condition, Outcome.AGREES, "within the digits written", sums, of)
    share = f" ({abs(off / here.value) * 100:.3g} % {'more' if off > 0 else 'less'})" if here.value else ""
    return Compared(also, condition, Outcome.DIFFERS, f"by {significant(abs(off), 3)}{unit}{share}", sums, of, off < 0)


def _in_one_unit(here: str, there: str, dimension: Dimension | None) -> tuple[Told, Told]:
    """Both values in the unit of the first; a unit that no table has must be the same in both."""
    own, other = _read(here, dimension), _read(there, dimension)
    if own.unit == other.unit:
        return own, other
    kind = dimension or _kind(own.unit)
    if kind is None:
        raise UnitError(f"'{there}' is in {other.unit or 'no unit'}, and '{here}' in {own.unit or 'none'}")
    base = parse(f"0 {own.unit}", kind)
    one = parse(f"1 {own.unit}", kind) - base
    value = (parse(there, kind) - base) / one
    step = abs(parse(f"1 {other.unit}", kind) - parse(f"0 {other.unit}", kind)) / one
    return own, Told(f"{there} = {_n(value)} {own.unit}", value, other.half * step, own.unit)


def _read(text: str, dimension: Dimension | None) -> Told:
    found = _WRITTEN.fullmatch(text)
    if found is None:
        raise UnitError(f"'{text}' does not start with a number")
    whole, above, below, plain, unit = found.groups()
    if dimension is not None:
        parse(text, dimension)
    if above:
        return Told(text, float(int(whole or 0) + Fraction(int(above), int(below))), 0.0, unit)
    digits = len(plain.partition(".")[2])
    return Told(text, float(plain), 0.5 * 10.0**-digits, unit)


def _kind(unit: str) -> Dimension | None:
    known = COMMON.get(unit)
    if known is not None:
        return known.dimension
    for kind in Dimension:
        try:
            parse(f"1 {unit}", kind)
        except UnitError:
            continue
        return kind
    return None


def _n(value: float, sign: bool = False) -> str:
    told = significant(value, 4)
    return f"+{told}" if sign and value > 0 else told


def disagreeing(found: Iterable[Compared]) -> list[Compared]:
    """Those that differ."""
    return [each for each in found if each.outcome is Outcome.DIFFERS]
