"""What a condition is worth for a machine: settled by looking, still open, or asked at a step."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import product
from operator import or_
from typing import Generic, TypeVar

from handwheel.machines.conditions import ALWAYS, NEVER, All, Any, Condition, Is, Not, OfVariant, questions_of
from handwheel.machines.reduce import conjunction, disjunction, negated, reduced
from handwheel.machines.space import Space
from handwheel.machines.truth import Always, Depends, Never, Truth, settling
from handwheel.records.library import Library
from handwheel.records.values import Varies

T = TypeVar("T")
U = TypeVar("U")

Open = Mapping[str, tuple[str, ...]]
"""Question asked at a step -> the answers still possible there. For a feature that work changes, `UNCHANGED` is one."""

UNCHANGED = ""
"""The form of a feature is what it was when the machine came in."""

ACCEPTED, DECLINED = "accepted", "declined"

SETTLED = Always()
OUT = Never()


@dataclass(frozen=True)
class Verdict:
    """What a condition is worth here."""

    truth: Truth
    """As far as looking at the machine goes."""
    asked: Condition | None = None
    """What is only known once a step has asked; None: nothing."""

    @property
    def settled(self) -> bool:
        """Whether it holds, and there is nothing left to look at or ask."""
        return self.asked is None and isinstance(self.truth, Always)

    @property
    def out(self) -> bool:
        """Whether it cannot hold."""
        return isinstance(self.truth, Never)


@dataclass(frozen=True)
class Option(Generic[T]):
    """One value that may hold, with when it does."""

    value: T
    condition: Condition
    verdict: Verdict


@dataclass(frozen=True)
class Settled(Generic[T]):
    """The values that may hold for the machine; one, if all that it hangs on is known."""

    options: tuple[Option[T], ...]

    @property
    def fixed(self) -> T | None:
        """The one value, where nothing is open."""
        only = len(self.options) == 1 and self.options[0].verdict.settled
        return self.options[0].value if only else None


@dataclass(frozen=True)
class Clause:
    """A condition made ready for one space."""

    condition: Condition
    mask: int
    """Machines on which it holds, where looking is all that it takes."""
    asked: tuple[str, ...]
    """Questions that it reads and that a step asks."""
    reads: frozenset[str]
    """Features that it reads, derived ones followed down."""


class Ground:
    """A space with the questions that steps ask; conditions are made ready once."""

    def __init__(self, library: Library, space: Space) -> None:
        self.library = library
        self.space = space
        self.variants = frozenset(space.index.variants)
        self._clauses: dict[Condition, Clause] = {}
        self.states = _asked_states(library, frozenset(space.index.features))

    def clause(self, condition: Condition) -> Clause:
        """The condition made ready."""
        found = self._clauses.get(condition)
        if found is None:
            found = self._clauses[condition] = self._ready(condition)
        return found

    def _ready(self, condition: Condition) -> Clause:
        here = localised(condition, self.variants)
        asked = tuple(sorted(q for q in questions_of(here) if q in self.states))
        features = (q for q in questions_of(here) if q not in self.states)
        reads = frozenset[str]().union(*map(self.space.index.base, features))
        return Clause(here, 0 if asked else self.space.mask(here), asked, reads)


@dataclass(frozen=True)
class Judge:
    """Machines still possible, and answers still possible, at one place of a procedure."""

    ground: Ground
    within: int
    open: Open
    path: tuple[Condition, ...] = ()
    """Conditions that hold here and read answers, which `within` alone cannot tell."""

    def verdict(self, condition: Condition) -> Verdict:
        """What the condition is worth here."""
        clause = self.ground.clause(condition)
        if not self._asked(clause):
            return self._looked(clause)
        worlds = tuple(self._worlds(clause))
        some = reduce(or_, (holds for _, _, holds in worlds), 0)
        fails = reduce(or_, (world & ~holds for _, world, holds in worlds), 0)
        if not some:
            return Verdict(OUT)
        if not fails:
            return Verdict(SETTLED)
        truth = self._truth(disjunction(case for case, _, holds in worlds if holds), some)
        return Verdict(truth, self._left(clause.condition) if some & fails else None)

    def may_hold(self, condition: Condition) -> int:
        """The machines here on which it holds for some answer."""
        clause = self.ground.clause(condition)
        if not self._asked(clause):
            return clause.mask & self.within
        return reduce(or_, (holds for _, _, holds in self._worlds(clause)), 0)

    def narrowed(self, condition: Condition) -> Judge:
        """The judge where the condition is known to hold."""
        clause = self.ground.clause(condition)
        within = self.may_hold(condition)
        if not self._asked(clause):
            return replace(self, within=within)
        answers = dict(self.open)
        for question, states in _must(clause.condition):
            possible = self._possible(question)
            if possible and UNCHANGED not in possible:
                answers[question] = tuple(state for state in possible if state in states)
        return replace(self, within=within, open=answers, path=(*self.path, clause.condition))

    def with_open(self, answers: Open) -> Judge:
        """The judge with other answers possible; what was known of these questions is so no longer."""
        if not answers:
            return self
        path = tuple(each for each in self.path if not self._reads(each) & answers.keys())
        return replace(self, open={**self.open, **answers}, path=path)

    def settled_all(self, conditions: Iterable[Condition]) -> tuple[bool, ...] | None:
        """Which of the conditions hold; None where one of them is open."""
        found = []
        for condition in conditions:
            clause = self.ground.clause(condition)
            here = clause.mask & self.within
            if (here and here != self.within) or self._asked(clause):
                return None
            found.append(bool(here))
        return tuple(found)

    def settle(self, varies: Varies[T], text: Callable[[T], U]) -> Settled[U]:
        """The values that may hold; equal ones are one."""
        by_value: dict[U, list[Condition]] = {}
        for case in varies.cases:
            if not self.verdict(case.condition).out:
                by_value.setdefault(text(case.value), []).append(case.condition)
        options = ((value, either(held)) for value, held in by_value.items())
        return Settled(tuple(Option(value, held, self.verdict(held)) for value, held in options))

    def _looked(self, clause: Clause) -> Verdict:
        here = clause.mask & self.within
        if not here:
            return Verdict(OUT)
        return Verdict(self._truth(clause.condition, here))

    def _truth(self, condition: Condition, here: int) -> Truth:
        if here == self.within:
            return SETTLED
        return Depends(settling(self.ground.space, condition, self.within))

    def _asked(self, clause: Clause) -> tuple[str, ...]:
        changed = (f for f in clause.reads if self.open.get(f, (UNCHANGED,)) != (UNCHANGED,))
        return (*clause.asked, *sorted(changed))

    def _reads(self, condition: Condition) -> frozenset[str]:
        """Questions that steps answer and features, as far as the condition reads them."""
        clause = self.ground.clause(condition)
        return clause.reads.union(clause.asked)

    def _possible(self, question: str) -> tuple[str, ...]:
        return self.open.get(question) or self.ground.states.get(question, ())

    def _worlds(self, clause: Clause) -> Iterator[tuple[Condition, int, int]]:
        """For each way of answering: the condition on features, the machines that stand here, those on which it holds.

        Conditions of the path that share a question with it are answered together with it.
        """
        asked, path = self._together(clause)
        index, space = self.ground.space.index, self.ground.space
        for answers in product(*map(self._possible, asked)):
            given = {q: state for q, state in zip(asked, answers, strict=True) if state != UNCHANGED}
            before = conjunction(reduced(index, each, given) for each in path)
            world = space.mask(before) & self.within
            case = conjunction((before, reduced(index, clause.condition, given)))
            yield case, world, space.mask(case) & world

    def _together(self, clause: Clause) -> tuple[tuple[str, ...], tuple[Condition, ...]]:
        """Questions to be answered, with the conditions of the path that hang together with them."""
        asked, left, path = set(self._asked(clause)), list(self.path), []
        while linked := [each for each in left if asked.intersection(self._asked(self.ground.clause(each)))]:
            path += linked
            left = [each for each in left if each not in linked]
            asked.update(*(self._asked(self.ground.clause(each)) for each in linked))
        return tuple(sorted(asked)), tuple(path)

    def _left(self, condition: Condition) -> Condition:
        """What is left to ask, once looking has told what it can; looks in an 'and' are told of by themselves."""
        left = self._simple(condition)
        if isinstance(left, All):
            kept = [part for part in left.parts if self._asked(self.ground.clause(part))]
            return conjunction(kept) if kept else left
        return left

    def _simple(self, condition: Condition) -> Condition:
        clause = self.ground.clause(condition)
        if not self._asked(clause):
            here = clause.mask & self.within
            return NEVER if not here else ALWAYS if here == self.within else condition
        match condition:
            case Not(part):
                return negated(self._simple(part))
            case All(parts):
                return conjunction(map(self._simple, parts))
            case Any(parts):
                return disjunction(map(self._simple, parts))
            case Is(question, states) if self._possible(question):
                return _narrow(question, states, self._possible(question))
            case _:
                return condition


def either(conditions: Sequence[Condition]) -> Condition:
    """Any of the conditions; states of one question are put together."""
    questions = {each.question for each in conditions if isinstance(each, Is)}
    if len(questions) == 1 and all(isinstance(each, Is) for each in conditions):
        states = (each.states for each in conditions if isinstance(each, Is))
        return Is(questions.pop(), frozenset[str]().union(*states))
    return disjunction(conditions)


def localised(condition: Condition, variants: frozenset[str]) -> Condition:
    """The condition for one family: a variant of another family is never built here."""
    match condition:
        case OfVariant(named):
            return condition if named <= variants else OfVariant(named & variants)
        case Not(part):
            return Not(localised(part, variants))
        case All(parts):
            return All(tuple(localised(part, variants) for part in parts))
        case Any(parts):
            return Any(tuple(localised(part, variants) for part in parts))
        case Is():
            return condition


def _narrow(question: str, states: frozenset[str], possible: tuple[str, ...]) -> Condition:
    if UNCHANGED in possible:
        return Is(question, states)
    left = [state for state in possible if state in states]
    return NEVER if not left else ALWAYS if len(left) == len(possible) else Is(question, frozenset(left))


def _must(condition: Condition) -> Iterator[tuple[str, frozenset[str]]]:
    """Answers that the condition cannot do without."""
    match condition:
        case Is(question, states):
            yield question, states
        case All(parts):
            for part in parts:
                yield from _must(part)


def _asked_states(library: Library, features: frozenset[str]) -> dict[str, tuple[str, ...]]:
    found = {each.id: tuple(each.states) for each in library.findings.values()}
    found |= {each.id: (ACCEPTED, DECLINED) for each in library.choices.values()}
    found |= {each.id: each.states for each in library.readings.values()}
    return {question: states for question, states in found.items() if question not in features}
