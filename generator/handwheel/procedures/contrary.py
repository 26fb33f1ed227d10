"""Words of a mirrored step that has none of its own: made of what it fits and tightens."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.reduce import conjunction, negated
from handwheel.procedures.judge import Judge
from handwheel.procedures.presence import fastener_present, holders, part_present
from handwheel.procedures.program import Act
from handwheel.procedures.wording import joined
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener
from handwheel.records.values import Case, Text, Varies

_WITH_PART = {"own thread": "turn {} home", "bayonet": "turn {} home", "slip fit": "push {} home", "glue": "glue {} in"}
"""Fasteners that are the part itself, or its own fit: the words speak of the part."""
_OTHERWISE = {
    "plug": "push {} in",
    "hinge pin": "push {} in",
    "taper pin": "drive {} in",
    "spring clip": "clip {} on",
    "knot": "tie {}",
}
"""Fasteners that are not tightened; all others are."""

Facts = tuple[tuple[str, Condition], ...]
"""Ids of parts or fasteners, each with the condition on which it is there."""


def parts_fitted(library: Library, act: Act) -> Facts:
    """What the step puts on."""
    return tuple((part, part_present(library, part)) for part in act.step.fits if part in library.parts)


def tightened(library: Library, act: Act) -> Facts:
    """What holds what it puts on, unless another of the parts held goes on later; and what it names itself."""
    found = dict.fromkeys(act.step.tightens)
    for part in () if act.step.leaves else act.step.fits:
        found |= dict.fromkeys(each for each in holders(library).get(part, ()) if _now(library, each, act))
    return _facts(library, found)


def left_loose(library: Library, act: Act) -> Facts:
    """What stays loose although all that it holds is on."""
    if not act.step.leaves:
        return ()
    return _facts(library, dict.fromkeys(each for part in act.step.fits for each in holders(library).get(part, ())))


def contrary_text(judge: Judge, act: Act) -> Varies[Text]:
    """The step's words, for each set of parts and fasteners that the machines here may have."""
    library = judge.ground.library
    parts, tight, loose = parts_fitted(library, act), tightened(library, act), left_loose(library, act)
    cases = [
        Case(condition, Text(_sentence(library, act, there, parts, tight, loose), act.place), act.place)
        for condition, there in _combinations(judge, (*parts, *tight, *loose))
    ]
    return Varies(tuple(cases), act.place)


def conditions_of_facts(library: Library, act: Act) -> Iterator[Condition]:
    """Every condition that the words hang on, besides those of the values that they quote."""
    for facts in (parts_fitted(library, act), tightened(library, act), left_loose(library, act)):
        for identifier, condition in facts:
            yield condition
            fastener = library.fasteners.get(identifier)
            if fastener and fastener.tighten:
                yield from (case.condition for case in fastener.tighten.cases)


def _facts(library: Library, fasteners: Iterable[str]) -> Facts:
    return tuple((each, fastener_present(library, each)) for each in fasteners if each in library.fasteners)


def _now(library: Library, fastener: str, act: Act) -> bool:
    others = frozenset(library.fasteners[fastener].holds) - frozenset(act.step.fits)
    return not others & act.fits_later


def _combinations(judge: Judge, facts: Facts) -> list[tuple[Condition, frozenset[str]]]:
    """Which of them are there together, on some machine here."""
    found: list[tuple[Condition, frozenset[str]]] = [(ALWAYS, frozenset())]
    for identifier, condition in facts:
        verdict = judge.verdict(condition)
        if verdict.settled:
            found = [(held, there | {identifier}) for held, there in found]
        elif not verdict.out:
            found = [each for held, there in found for each in _split(held, there, identifier, condition)]
            found = [(held, there) for held, there in found if judge.may_hold(held)]
    return found


def _split(
    held: Condition, there: frozenset[str], identifier: str, condition: Condition
) -> Iterator[tuple[Condition, frozenset[str]]]:
    yield conjunction((held, condition)), there | {identifier}
    yield conjunction((held, negated(condition))), there


def _sentence(library: Library, act: Act, there: frozenset[str], parts: Facts, tight: Facts, loose: Facts) -> str:
    fitted = [part for part, _ in parts if part in there]
    clauses = [f"fit {joined(f'<count {part}>' for part in fitted)}"] if fitted else []
    plain: list[str] = []
    others: list[str] = []
    for fastener, _ in tight:
        if fastener in there:
            words = _fasten(library.fasteners[fastener], fitted)
            (plain if words.startswith("tighten ") else others).append(words)
    clauses += [f"tighten {joined(words.removeprefix('tighten ') for words in plain)}"] if plain else []
    clauses += others
    still = [f"<fasteners {each}>" for each, _ in loose if each in there]
    clauses += [f"leave {joined(still)} loose"] if still else []
    text = "; ".join(clauses)
    return f"{text[:1].upper()}{text[1:]}." if text else f"Nothing to do here (“{act.local}” in reverse)."


def _fasten(fastener: Fastener, fitted: list[str]) -> str:
    by_value = f" <tightly {fastener.id}>" if fastener.tighten else ""
    if fastener.kind in _WITH_PART:
        held = [part for part in fastener.holds if part in fitted]
        alone = held == fitted and len(held) == 1
        return (
            _WITH_PART[fastener.kind].format("it" if alone else joined(f"<count {part}>" for part in held)) + by_value
        )
    return _OTHERWISE.get(fastener.kind, "tighten {}").format(f"<fasteners {fastener.id}>") + by_value
