"""Answering part of a condition beforehand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from handwheel.machines.conditions import ALWAYS, NEVER, All, Any, Condition, Is, Not, OfVariant, questions_of
from handwheel.machines.errors import Unanswered
from handwheel.machines.family import FamilyIndex


def reduced(index: FamilyIndex, condition: Condition, answers: Mapping[str, str]) -> Condition:
    """The condition with the answers put in, so that only features are left to read.

    Raises:
        Unanswered: A question that is no feature of the family has no answer.
    """
    match condition:
        case Is(question, states):
            return _answered(index, question, states, answers)
        case OfVariant():
            return condition
        case Not(part):
            return negated(reduced(index, part, answers))
        case All(parts):
            return conjunction(reduced(index, part, answers) for part in parts)
        case Any(parts):
            return disjunction(reduced(index, part, answers) for part in parts)


def negated(part: Condition) -> Condition:
    """Not the part, in the shortest form."""
    match part:
        case Not(inner):
            return inner
        case All(()):
            return NEVER
        case Any(()):
            return ALWAYS
        case _:
            return Not(part)


def conjunction(parts: Iterable[Condition]) -> Condition:
    """All of the parts, in the shortest form."""
    flat: dict[Condition, None] = {}
    for part in parts:
        if part == NEVER:
            return NEVER
        flat.update(dict.fromkeys(part.parts if isinstance(part, All) else (part,)))
    return next(iter(flat)) if len(flat) == 1 else All(tuple(flat))


def said_once(condition: Condition, variants: Iterable[str] = ()) -> Condition:
    """The condition with each question said once: of forms that are asked for twice those that are in both.

    Where none is in both the condition is left as it is written, so that whoever wrote it can be shown it.

    Args:
        condition: What must be so.
        variants: All that there are; where each of them will do, the variant is not asked for.
    """
    found: dict[str | int, Condition] = {}
    every = frozenset(variants)
    for place, part in enumerate(side_by_side(condition)):
        if every and isinstance(part, OfVariant) and every <= part.variants:
            continue
        key = part.question if isinstance(part, Is) else place
        before = found.get(key)
        if isinstance(part, Is) and isinstance(before, Is):
            part = Is(before.question, part.states & before.states)
            if not part.states:
                return condition
        found[key] = part
    return conjunction(found.values())


def side_by_side(condition: Condition) -> Iterator[Condition]:
    """What must all hold for the condition to hold, each by itself."""
    if not isinstance(condition, All):
        yield condition
        return
    for part in condition.parts:
        yield from side_by_side(part)


def disjunction(parts: Iterable[Condition]) -> Condition:
    """Any of the parts, in the shortest form."""
    flat: dict[Condition, None] = {}
    for part in parts:
        if part == ALWAYS:
            return ALWAYS
        flat.update(dict.fromkeys(part.parts if isinstance(part, Any) else (part,)))
    return next(iter(flat)) if len(flat) == 1 else Any(tuple(flat))


def _answered(index: FamilyIndex, question: str, states: frozenset[str], answers: Mapping[str, str]) -> Condition:
    if question in answers:
        return ALWAYS if answers[question] in states else NEVER
    feature = index.features.get(question)
    if feature is None:
        raise Unanswered(question)
    if not _rests_on(index, question, answers):
        return Is(question, states)
    return disjunction(_clauses(index, question, states, answers))


def _clauses(
    index: FamilyIndex, question: str, states: frozenset[str], answers: Mapping[str, str]
) -> Iterable[Condition]:
    """A derived feature written out: each clause that gives one of the states, with none before it."""
    before: list[Condition] = []
    for form, clause in index.features[question].derived:
        here = ALWAYS if clause is None else reduced(index, clause, answers)
        if form in states:
            yield conjunction((here, *before))
        before.append(negated(here))


def _rests_on(index: FamilyIndex, question: str, answers: Mapping[str, str]) -> bool:
    """Whether an answer takes the place of something that the question is derived from."""
    read = {q for _, clause in index.features[question].derived if clause for q in questions_of(clause)}
    return any(q in answers or _rests_on(index, q, answers) for q in read)
