"""Where each step holds: the way to it, and what another step on a sibling stands in its place."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from handwheel.machines.conditions import ALWAYS, All, Any, Condition, Is, Not, OfVariant, questions_of
from handwheel.machines.masks import VARIANT
from handwheel.machines.reduce import conjunction
from handwheel.procedures.changes import changes_in
from handwheel.procedures.contrary import conditions_of_facts
from handwheel.procedures.laid_open import laid_open
from handwheel.procedures.program import Act, Fork, Guarded, Item, Items, Loop, Program, inside
from handwheel.procedures.prose import conditions_in
from handwheel.records.library import Library
from handwheel.records.values import Text, Varies


@dataclass(frozen=True)
class Way:
    """A step, and all conditions between the beginning of the procedure and it."""

    act: Act
    condition: Condition
    forks: tuple[tuple[int, int], ...]
    """Forks that it stands in, outermost first: number of the fork, number of the arm."""


@dataclass(frozen=True)
class Sibling:
    """Where to go on another variant's page."""

    anchor: str
    """Empty: the top of the page."""
    same: bool
    """Whether it is the same step; else its alternative, or the nearest one."""


@lru_cache(maxsize=4096)
def ways(library: Library, procedure: str) -> dict[str, Way]:
    """Every step of the procedure by its anchor, in order."""
    program = laid_open(library, procedure)
    return {way.act.anchor: way for way in _ways(program.items, program.condition, (), [0])}


def feature_part(condition: Condition, asked: Iterable[str]) -> Condition:
    """The condition without what steps ask: what is left can be told by looking."""
    questions = frozenset(asked)
    match condition:
        case All(parts):
            return conjunction(feature_part(part, questions) for part in parts)
        case _ if questions_of(condition) & questions:
            return ALWAYS
        case _:
            return condition


def sibling_of(ordered: tuple[Way, ...], anchor: str, here: frozenset[str]) -> Sibling:
    """Where to go on a page that has the steps `here`: the same one, its alternative, the nearest before or after."""
    if anchor in here:
        return Sibling(anchor, True)
    place = next(i for i, way in enumerate(ordered) if way.act.anchor == anchor)
    way = ordered[place]
    alternatives = (each for each in ordered if _is_alternative(way, each))
    order = (*alternatives, *reversed(ordered[:place]), *ordered[place:])
    return Sibling(next((each.act.anchor for each in order if each.act.anchor in here), ""), False)


@lru_cache(maxsize=4096)
def questions_read(library: Library, procedure: str) -> frozenset[str]:
    """Everything that the procedure's conditions, texts and values ask, and what its steps change."""
    program = laid_open(library, procedure)
    conditions = (program.condition, *_all_conditions(library, program))
    found = frozenset[str]().union(*map(_questions, conditions))
    return found.union(changes_in(library, program.items))


def _questions(condition: Condition) -> frozenset[str]:
    """Questions that the condition reads, the variant among them."""
    return questions_of(condition) | ({VARIANT} if _names_variants(condition) else frozenset())


def _names_variants(condition: Condition) -> bool:
    match condition:
        case OfVariant():
            return True
        case Not(part):
            return _names_variants(part)
        case All(parts) | Any(parts):
            return any(map(_names_variants, parts))
        case Is():
            return False


def conditions_of(library: Library, act: Act) -> Iterator[Condition]:
    """Every condition that the step, its texts and the values they quote hang on."""
    yield act.condition
    if act.do is None:
        yield from conditions_of_facts(library, act)
    for varies in texts_of_act(act):
        for case in varies.cases:
            yield case.condition
            yield from conditions_in(library, case.value.raw, act.words)


def texts_of_act(act: Act) -> Iterator[Varies[Text]]:
    """The step's texts as written, as far as they hold as it is done here."""
    step = act.step
    back = None if act.mirrored else step.back
    for varies in (act.do, step.why, step.ok, step.trap, step.otherwise, back):
        if varies is not None:
            yield varies


def _all_conditions(library: Library, program: Program) -> Iterator[Condition]:
    for item in _walk(program.items):
        match item:
            case Act():
                yield from conditions_of(library, item)
            case Guarded(when=when):
                yield when.condition
            case Fork(arms=arms):
                yield from (arm.when.condition for arm in arms)
            case Loop():
                yield item.condition


def _walk(items: Items) -> Iterator[Item]:
    for item in items:
        yield item
        for held in inside(item):
            yield from _walk(held)


def _ways(items: Items, path: Condition, forks: tuple[tuple[int, int], ...], count: list[int]) -> Iterator[Way]:
    for item in items:
        match item:
            case Act():
                yield Way(item, conjunction((path, item.condition)), forks)
            case Guarded(when=when, items=held):
                yield from _ways(held, conjunction((path, when.condition)), forks, count)
            case Fork(arms=arms):
                count[0] += 1
                fork = count[0]
                for place, arm in enumerate(arms):
                    inner = conjunction((path, arm.when.condition))
                    yield from _ways(arm.items, inner, (*forks, (fork, place)), count)
            case _:
                for held in inside(item):
                    yield from _ways(held, path, forks, count)


def _is_alternative(one: Way, other: Way) -> bool:
    """Whether they stand in different arms of one fork."""
    arms = dict(one.forks)
    return any(fork in arms and arms[fork] != arm for fork, arm in other.forks)
