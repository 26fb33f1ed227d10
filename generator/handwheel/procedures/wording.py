"""Names, counts and conditions in words."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from handwheel.machines.conditions import ALWAYS, NEVER, All, Condition, Is, Not, OfVariant
from handwheel.machines.conditions import Any as AnyOf
from handwheel.machines.questions import MISSING
from handwheel.records.called import mark_of
from handwheel.records.kinds import KINDS
from handwheel.records.library import Library
from handwheel.records.machine_records import Choice, Feature, Finding, Reading
from handwheel.records.part_records import Fastener, PartRecord

MADE, SERIAL = "made", "serial"
"""First words of the questions that years and serial numbers make."""


def name_of(record: Any, plural: str = "") -> str:
    """The record in words: the field that its kind is named by, else its id; a thread with its mark."""
    if isinstance(record, Feature):
        return name_of_question(record)
    kind = KINDS.get(plural)
    label = getattr(record, kind.label if kind else "name", "") or getattr(record, "name", "")
    return (str(label) or record.id.replace("-", " ")) + mark_of(record)


def joined(words: Iterable[str], last: str = "and") -> str:
    """`a, b and c`."""
    listed = list(words)
    if len(listed) < 2:
        return "".join(listed)
    return f"{', '.join(listed[:-1])} {last} {listed[-1]}"


def plural_of(record: PartRecord | Fastener) -> str:
    """The plural as told, else with an s."""
    return record.plural or f"{name_of(record)}s"


def counted(record: PartRecord | Fastener) -> str:
    """`2 bracket screws`, `the set screw`."""
    return f"{record.count} {plural_of(record)}" if record.count > 1 else f"the {name_of(record)}"


def as_many(record: PartRecord | Fastener) -> str:
    """The name, in the plural where there are several."""
    return plural_of(record) if record.count > 1 else name_of(record)


@lru_cache(maxsize=8192)
def condition_words(library: Library, condition: Condition, short: bool = False) -> str:
    """A condition in words: `lamp: swivel stalk`, `the wick is hard`."""
    match condition:
        case Is(question, states):
            return _states_words(library, question, states, short)
        case OfVariant(variants):
            return joined(_variant_names(library, variants), "or")
        case Not(Is(question, _)) if question.startswith(f"{MADE}:"):
            return f"made before {question.partition(':')[2]}"
        case Not(part):
            return f"not ({condition_words(library, part, short)})"
        case _ if condition == ALWAYS:
            return "every machine"
        case _ if condition == NEVER:
            return "no machine"
        case All(parts):
            return " and ".join(_bracketed(library, part, short) for part in parts)
        case AnyOf(parts):
            return " or ".join(condition_words(library, part, short) for part in parts)


def if_words(library: Library, condition: Condition) -> str:
    """`If the wick is hard`."""
    return f"If {condition_words(library, condition)}"


def state_words(library: Library, question: str, state: str, short: bool = False) -> str:
    """One state of a question in words."""
    if state == MISSING:
        return "missing"
    feature = library.features.get(question)
    if feature is not None:
        form = feature.forms.get(state)
        return (short and form.short) or form.name if form else state.replace("-", " ")
    finding = library.findings.get(question)
    return finding.states.get(state, state) if finding else state


def _states_words(library: Library, question: str, states: frozenset[str], short: bool) -> str:
    if question.startswith((f"{MADE}:", f"{SERIAL}:")):
        return _cut_words(question)
    ordered = [state for state in _all_states(library, question) if state in states] or sorted(states)
    words = joined((state_words(library, question, state, short) for state in ordered), "or")
    for records in (library.features, library.findings, library.choices, library.readings):
        if question in records:
            return _of_record(library, records[question], ordered, words)
    return f"{question}: {words}"


def _of_record(library: Library, record: Any, states: list[str], words: str) -> str:
    match record:
        case Finding(of=part, ask=ask):
            return (
                f"{_subject(library, part)} {words}" if part in library.parts else f"the answer to “{ask}” is “{words}”"
            )
        case Choice(offer=offer):
            return f"“{offer}” was {joined(states, 'or')}"
        case Reading(ask=ask):
            return f"the {_small_first(ask)} is {words}"
        case _:
            return f"{name_of_question(record)}: {words}"


def name_of_question(record: Any) -> str:
    """A feature in a word or two."""
    return str(record.name or record.id.replace("-", " "))


def _subject(library: Library, part: str) -> str:
    record = library.parts[part]
    return f"the {as_many(record)} {'are' if record.count > 1 else 'is'}"


def _all_states(library: Library, question: str) -> Iterable[str]:
    if question in library.features:
        feature = library.features[question]
        return (*feature.forms, *(line.form for line in feature.derived if line.form not in feature.forms), MISSING)
    if question in library.findings:
        return library.findings[question].states
    return library.readings[question].states if question in library.readings else ("accepted", "declined")


def _variant_names(library: Library, variants: frozenset[str]) -> Iterable[str]:
    named = [each.short or each.name for each in library.variants.values() if each.id in variants]
    return named or sorted(variants)


def _cut_words(question: str) -> str:
    kind, _, rest = question.partition(":")
    if kind == MADE:
        return f"made in {rest} or later"
    prefix, _, number = rest.rpartition(":")
    return f"serial number {prefix}{number} or higher"


def _bracketed(library: Library, part: Condition, short: bool) -> str:
    words = condition_words(library, part, short)
    return f"({words})" if isinstance(part, AnyOf) and len(part.parts) > 1 else words


def _small_first(text: str) -> str:
    """`Pull of the thread` inside a sentence; `DC voltage` stays."""
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]
