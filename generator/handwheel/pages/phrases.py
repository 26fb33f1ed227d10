"""Conditions, years and lists in words."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.machines.conditions import ALWAYS, All, Any, Condition, Is, Not, OfVariant
from handwheel.pages.addresses import name_of
from handwheel.records.library import Library
from handwheel.records.machine_records import Block, Form, Years
from handwheel.records.values import Minutes


def either(words: Iterable[str], joint: str = "or") -> str:
    """`a`, `a or b`, `a, b or c`."""
    each = list(words)
    return each[0] if len(each) == 1 else f"{', '.join(each[:-1])} {joint} {each[-1]}" if each else ""


def both(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    return either(words, "and")


def state_name(library: Library, question: str, state: str) -> str:
    """A state in words: the form's short name, the finding's or choice's state."""
    if state in ("missing", "absent"):
        return "missing" if state == "missing" else "not on this family"
    if question in library.features:
        form: Form | None = library.features[question].forms.get(state)
        return (form.short or form.name) if form else state.replace("-", " ")
    if question in library.findings:
        return library.findings[question].states.get(state, state)
    return state.replace("-", " ")


def question_name(library: Library, question: str) -> str:
    """A question as the name of what is asked about: `bobbin winder`."""
    if question.startswith("made:"):
        return f"made in {question[5:]} or later"
    if question.startswith("serial:"):
        _, prefix, number = question.split(":")
        return f"number {prefix}{number} or higher"
    feature = library.features.get(question)
    if feature is not None:
        return feature.name or feature.id.replace("-", " ")
    return question.replace("-", " ")


def condition_words(library: Library, condition: Condition) -> str:
    """A condition as it reads on a page: `bobbin winder: latch or plain; built as: second pattern`."""
    match condition:
        case All(parts):
            return "; ".join(condition_words(library, part) for part in parts) or "every machine"
        case Any(parts):
            return " - or ".join(condition_words(library, part) for part in parts) or "no machine"
        case Not(part):
            return f"not ({condition_words(library, part)})"
        case OfVariant(variants):
            order = [each for each in library.variants if each in variants]
            return "built as " + either(variant_name(library, each) for each in order)
        case Is(question, states):
            if question.startswith(("made:", "serial:")):
                return question_name(library, question)
            known = [state for state in _states(library, question) if state in states]
            return (
                f"{question_name(library, question)}: {either(state_name(library, question, each) for each in known)}"
            )


def _states(library: Library, question: str) -> tuple[str, ...]:
    for kind, key in (("features", "forms"), ("findings", "states"), ("readings", "states")):
        record = library.of(kind).get(question)
        if record is not None:
            derived = tuple(line.form for line in record.derived) if kind == "features" else ()
            return (*getattr(record, key), *dict.fromkeys(derived), "missing")
    return ("accepted", "declined")


def holds_always(condition: Condition) -> bool:
    """Whether the condition has nothing to say."""
    return condition == ALWAYS


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
    """`2 minutes, 1 to 6`."""
    if minutes is None:
        return ""
    likely = f"{minutes.likely:g} minute{'' if minutes.likely == 1 else 's'}"
    return likely if minutes.low == minutes.high else f"{likely}, {minutes.low:g} to {minutes.high:g}"


def sum_minutes(each: Iterable[Minutes | None]) -> Minutes | None:
    """All minutes together; None when nothing is known."""
    known = [minutes for minutes in each if minutes is not None]
    if not known:
        return None
    return Minutes(sum(m.low for m in known), sum(m.likely for m in known), sum(m.high for m in known))


def names(library: Library, plural: str, ids: Iterable[str]) -> str:
    """Names of records, joined by `and`."""
    return both(name_of(library.of(plural)[each]) if each in library.of(plural) else each for each in ids)
