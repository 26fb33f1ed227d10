"""What a condition is worth for a machine: settled by looking, still open, or asked at a step."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from itertools import product
from operator import or_
from typing import TypeVar

from handwheel.machines.conditions import ALWAYS, NEVER, All, Any, Condition, Is, Not
from handwheel.machines.reduce import conjunction, disjunction, negated, reduced
from handwheel.machines.truth import Depends, Truth, settling
from handwheel.procedures.verdicts import (
    ACCEPTED,
    DECLINED,
    OUT,
    SETTLED,
    UNCHANGED,
    Clause,
    Ground,
    Open,
    Option,
    Settled,
    Verdict,
)
from handwheel.records.values import Varies

__all__ = [
    "ACCEPTED",
    "DECLINED",
    "UNCHANGED",
    "Ground",
    "Judge",
    "Option",
    "Settled",
    "Verdict",
    "either",
]

T = TypeVar("T")
U = TypeVar("U")


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

    def reads_answers(self, condition: Condition) -> bool:
        """Whether it hangs on what a step asks or changes, besides on looking."""
        return bool(self._asked(self.ground.clause(condition)))

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
