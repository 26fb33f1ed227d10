"""Writes one procedure's items for one machine: what is settled is settled, what is open stays with what settles it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from handwheel.machines.conditions import Condition
from handwheel.machines.machine import Known
from handwheel.procedures import holding
from handwheel.procedures.changes import changes_in, changes_of
from handwheel.procedures.contrary import contrary_text
from handwheel.procedures.judge import UNCHANGED, Ground, Judge, Option, Settled, Verdict, either
from handwheel.procedures.program import Act, Fork, Guarded, Item, Items, Loop, Reached, acts_of
from handwheel.procedures.prose import Pieces, pieces
from handwheel.procedures.resolved import (
    Alternatives,
    Group,
    Prose,
    Reaching,
    Reason,
    Repeated,
    ResolvedItem,
    ResolvedStep,
)
from handwheel.procedures.wording import condition_words
from handwheel.records.library import Library
from handwheel.records.values import Text, Varies

ASKED_KINDS = ("features", "findings", "choices", "readings")


@dataclass(frozen=True)
class AsBuilt:
    """A machine of the variant as it left the works."""

    variant: str


Machine = AsBuilt | Known
"""What is known of the machine; `Known()` when nothing is."""

Openings = dict[str, tuple[str, ...]]
"""Question -> the answers that are possible from then on."""

Answers = Mapping[str, str]
"""Findings, choices and readings that have been answered already."""


@dataclass
class Field:
    """A ground with what was already made on it."""

    ground: Ground
    steps: dict[tuple[str, str, tuple[bool, ...]], ResolvedStep] = field(default_factory=dict)
    conditions: dict[tuple[str, str], tuple[Condition, ...]] = field(default_factory=dict)
    made: dict[str, int] = field(default_factory=dict)
    opened: dict[int, tuple[Item, Openings, Openings]] = field(default_factory=dict)
    """By an item's identity; the item is held, so that its identity is not given to another."""

    def within(self, machine: Machine) -> int:
        """The machines that agree with what is known."""
        if isinstance(machine, Known):
            return self.ground.space.known(machine)
        if machine.variant not in self.made:
            self.made[machine.variant] = self.ground.space.as_built(machine.variant)
        return self.made[machine.variant]


@dataclass(frozen=True)
class Writer:
    """Writes the items of one procedure for one machine."""

    procedure: str
    field: Field
    reasons: Mapping[str, Reason | None]
    answers: Answers

    @property
    def library(self) -> Library:
        """The library."""
        return self.field.ground.library

    def items(self, items: Items, judge: Judge) -> tuple[list[ResolvedItem], Judge]:
        """What is left of the items, and the judge after them."""
        found: list[ResolvedItem] = []
        for item in items:
            match item:
                case Act():
                    verdict = judge.verdict(item.condition)
                    if not verdict.out:
                        found.append(self._step(item, judge, verdict))
                        judge = self.after(judge, item, verdict.settled)
                    continue
                case Guarded(when=when, items=held):
                    found += self._guarded(when.condition, held, judge)
                case Fork():
                    found += self._fork(item, judge)
                case Loop():
                    found += self._loop(item, judge)
                case Reached(parts=parts, items=held):
                    inner = tuple(self.items(held, judge)[0])
                    found += [Reaching(parts, inner)] if inner else []
            judge = self.reopened(judge, item)
        return found, judge

    def _step(self, act: Act, judge: Judge, verdict: Verdict) -> ResolvedStep:
        """The very same value for all machines for which it is the same, so that it is rendered once."""
        key = self._key(act, judge)
        if key is None:
            return self.made(act, judge, verdict)
        if key not in self.field.steps:
            self.field.steps[key] = self.made(act, judge, verdict)
        return self.field.steps[key]

    def _key(self, act: Act, judge: Judge) -> tuple[str, str, tuple[bool, ...]] | None:
        place = (self.procedure, act.anchor)
        conditions = self.field.conditions.get(place)
        if conditions is None:
            found = dict.fromkeys(holding.conditions_of(self.library, act))
            conditions = self.field.conditions[place] = tuple(found)
        holds = judge.settled_all(conditions)
        return None if holds is None else (*place, holds)

    def made(self, act: Act, judge: Judge, verdict: Verdict) -> ResolvedStep:
        """The step with the texts that hold."""
        here = judge if verdict.settled else judge.narrowed(act.condition)
        step = act.step
        texts = (step.why, step.ok, step.trap, step.otherwise, None if act.mirrored else step.back)
        why, ok, trap, otherwise, back = (_prose(here, text, act) if text else None for text in texts)
        do = _prose(here, act.do or contrary_text(here, act), act)
        return ResolvedStep(act, verdict, self.reasons[act.anchor], do, why, ok, trap, otherwise, back)

    def _guarded(self, condition: Condition, held: Items, judge: Judge) -> list[ResolvedItem]:
        verdict = judge.verdict(condition)
        if verdict.out:
            return []
        if verdict.settled:
            return self.items(held, judge)[0]
        group = self._group(condition, (), held, judge, verdict)
        return [group] if group.items else []

    def _fork(self, fork: Fork, judge: Judge) -> list[ResolvedItem]:
        verdicts = [(arm, judge.verdict(arm.when.condition)) for arm in fork.arms]
        possible = [(arm, verdict) for arm, verdict in verdicts if not verdict.out]
        if len(possible) == 1 and possible[0][1].settled:
            return self.items(possible[0][0].items, judge)[0]
        arms = tuple(self._group(arm.when.condition, arm.states, arm.items, judge, v) for arm, v in possible)
        if not any(arm.items for arm in arms):
            return []
        kinds = (kind for kind in ASKED_KINDS if fork.question in self.library.of(kind))
        return [Alternatives(fork.question, next(kinds, ""), arms)]

    def _group(
        self, condition: Condition, states: tuple[str, ...], held: Items, judge: Judge, verdict: Verdict
    ) -> Group:
        items = self.items(held, judge.narrowed(condition))[0]
        return Group(verdict, condition, condition_words(self.library, condition), tuple(items), states)

    def _loop(self, loop: Loop, judge: Judge) -> list[ResolvedItem]:
        judge = self.reopened(judge, loop)  # a second round starts where the first one ended
        body, after = self.items(loop.items, judge)
        otherwise = self.items(loop.otherwise, after)[0]
        if not body:
            return []
        until = condition_words(self.library, loop.condition)
        return [Repeated(until, loop.at_most, tuple(body), tuple(otherwise))]

    def after(self, judge: Judge, act: Act, surely: bool) -> Judge:
        """What is possible after a step: what it asked is open, what it changed is what it made of it."""
        asked, changed = self._opened(act)
        if not (asked or changed):
            return judge
        if surely:
            made = changes_of(self.library, act.step)
            return judge.with_open(asked | {feature: (form,) for feature, form in made.items()})
        return self.reopened(judge, act)

    def reopened(self, judge: Judge, item: Item) -> Judge:
        """What is possible after an item that may or may not have been done."""
        asked, changed = self._opened(item)
        before = {feature: judge.open.get(feature, (UNCHANGED,)) for feature in changed}
        return judge.with_open(asked | {f: tuple(dict.fromkeys((*before[f], *forms))) for f, forms in changed.items()})

    def _opened(self, item: Item) -> tuple[Openings, Openings]:
        """Questions asked anew in the item, with their answers, and features it may change, with their new forms."""
        known = self.field.opened.get(id(item))
        if known is None:
            changed = {f: tuple(sorted(forms)) for f, forms in changes_in(self.library, (item,)).items()}
            known = self.field.opened[id(item)] = (item, self._asked_anew(item), changed)
        _, asked, changed = known
        given = {question: (self.answers[question],) for question in asked if question in self.answers}
        return asked | given, changed

    def _asked_anew(self, item: Item) -> Openings:
        states = self.field.ground.states
        return {
            question: states[question]
            for act in acts_of((item,))
            for question in (*act.step.finds, *act.step.measures, *act.step.asks, *act.step.becomes)
            if question in states
        }


def _prose(judge: Judge, varies: Varies[Text], act: Act) -> Prose:
    """The texts that may hold, each with its marks resolved for the machines that have it; equal ones are one."""
    found: dict[Pieces, list[Condition]] = {}
    for case in varies.cases:
        verdict = judge.verdict(case.condition)
        if not verdict.out:
            here = judge if verdict.settled else judge.narrowed(case.condition)
            found.setdefault(pieces(here, case.value.raw, act.words), []).append(case.condition)
    return Settled(tuple(_option(judge, value, conditions) for value, conditions in found.items()))


def _option(judge: Judge, value: Pieces, conditions: list[Condition]) -> Option[Pieces]:
    condition = either(conditions)
    return Option(value, condition, judge.verdict(condition))
