"""Years, blocks, minutes and lists in words."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.procedures.wording import joined, name_of_question
from handwheel.records.library import Library
from handwheel.records.machine_records import Block, Years
from handwheel.records.values import Amount, Minutes

_HOURS_FROM = 120
"""Minutes; below, nobody thinks in hours."""


def either(words: Iterable[str]) -> str:
    """`a`, `a or b`, `a, b or c`."""
    return joined(words, "or")


def question_name(library: Library, question: str) -> str:
    """A feature as the name of what is asked about: `bobbin winder`."""
    feature = library.features.get(question)
    return name_of_question(feature) if feature else question.replace("-", " ")


def variant_name(library: Library, variant: str) -> str:
    """A variant's shorter name."""
    record = library.variants[variant]
    return record.short or record.name


def years_words(years: Years | None) -> str:
    """`1934 to 1939`, `from 1934`, `until 1939`; empty when unknown."""
    if years is None or (years.first is None and years.last is None):
        return ""
    if years.first is None:
        return f"until {years.last}"
    if years.last is None:
        return f"from {years.first}"
    return str(years.first) if years.first == years.last else f"{years.first} to {years.last}"


def block_words(block: Block) -> str:
    """`CB120001 to CB135000, 1934 to 1935`."""
    years = years_words(block.years)
    return f"{block.prefix}{block.first} to {block.prefix}{block.last}" + (f", {years}" if years else "")


def minutes_words(minutes: Minutes | None) -> str:
    """`2 minutes, 1 to 6`; from two hours on `2 h 10 min, 90 min to 3 h`."""
    if minutes is None:
        return ""
    if _whole(minutes.high) >= _HOURS_FROM:
        low, likely, high = (_hours(each) for each in (minutes.low, minutes.likely, minutes.high))
        return likely if low == high else f"{likely}, {low} to {high}"
    likely = f"{_number(minutes.likely)} minute{'' if minutes.likely == 1 else 's'}"
    if minutes.low == minutes.high:
        return likely
    return f"{likely}, {_number(minutes.low)} to {_number(minutes.high)}"


def _hours(minutes: float) -> str:
    """`3 h 20 min`: tens of minutes from two hours on, as nobody plans in less."""
    if _whole(minutes) < _HOURS_FROM:
        return f"{_number(minutes)} min"
    hours, rest = divmod(10 * round(round(minutes, 6) / 10), 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def _whole(minutes: float) -> int:
    return round(round(minutes, 6))


def _number(minutes: float) -> str:
    """Whole minutes from ten on: nobody plans in less."""
    minutes = round(minutes, 6)  # what adding leaves behind is not a minute's half
    return f"{minutes:.0f}" if minutes >= 10 else f"{minutes:.2g}"


def span_words(amount: Amount) -> str:
    """A wait in the words of a day's plan: `12 hours`, `14 days`; as written where it has no value."""
    if not amount.value:
        return amount.text
    for unit, seconds in (("day", 86_400), ("hour", 3600), ("minute", 60)):
        count = amount.value / seconds
        if count >= 1 and abs(count - round(count)) < 1e-9:
            return f"{count:.0f} {unit}{'' if round(count) == 1 else 's'}"
    return amount.text


def sum_minutes(each: Iterable[Minutes | None]) -> Minutes | None:
    """All minutes together; None when nothing is known."""
    known = [minutes for minutes in each if minutes is not None]
    if not known:
        return None
    return Minutes(sum(m.low for m in known), sum(m.likely for m in known), sum(m.high for m in known))
