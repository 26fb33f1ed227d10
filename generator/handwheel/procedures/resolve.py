"""Procedures for one machine: a named variant as built, or any machine as found, by the same code.

What looking can tell is settled, or stands there with the look that settles it. What a
step asks (findings, choices, readings) stays as alternatives with their states in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.family import FamilyIndex
from handwheel.machines.machine import Known
from handwheel.machines.masks import VARIANT
from handwheel.machines.questions import Family
from handwheel.machines.space import Space
from handwheel.machines.truth import Contradiction, Truth, clash
from handwheel.procedures import holding
from handwheel.procedures.changes import changes_before, changes_in, changes_of
from handwheel.procedures.contrary import contrary_text
from handwheel.procedures.expand import expand
from handwheel.procedures.judge import UNCHANGED, Ground, Judge, Option, Settled, Verdict, either
from handwheel.procedures.program import Act, Fork, Guarded, Items, Loop, Reached, acts_of
from handwheel.procedures.prose import Pieces, pieces
from handwheel.procedures.resolved import (
    Alternatives,
    Group,
    Prose,
    Reaching,
    Reason,
    Repeated,
    Resolved,
    ResolvedItem,
    ResolvedStep,
)
from handwheel.procedures.wording import condition_words, name_of
from handwheel.records.families import family_as_built, family_of
from handwheel.records.library import Library
from handwheel.records.values import Text, Varies

ASKED_KINDS = ("features", "findings", "choices", "readings")


@dataclass(frozen=True)
class AsBuilt:
    """A machine of the variant as it left the works."""

    variant: str


Machine = AsBuilt | Known
"""What is known of the machine; `Known()` when nothing is."""

Answers = Mapping[str, str]
"""Findings, choices and readings that have been answered already."""


@dataclass(frozen=True)
class Holding:
    """For which machines a step holds."""

    mask: int
    """Machines of the family that can stand here on which it may hold, in `space`."""
    space: Space
    condition: Condition
    variants: Mapping[str, bool]
    """Variants that have it as built, in order; true: all machines of the variant, false: some."""


def resolve(
    library: Library, family: str | Family | Space, known: Machine, procedure: str, answers: Answers | None = None
) -> Resolved:
    """The procedure for the machine. For many pages make one `Resolver` and keep it."""
    return Resolver(library, family).resolve(procedure, known, answers)


@dataclass
class _Field:
    """A ground with what was already made on it."""

    ground: Ground
    steps: dict[tuple[str, str, tuple[bool, ...]], ResolvedStep] = field(default_factory=dict)
    conditions: dict[tuple[str, str], tuple[Condition, ...]] = field(default_factory=dict)


class Resolver:
    """Resolves procedures for one family; keeps what many machines share.

    Args:
        library: The linked library.
        family: Id of the family; or a family or a space of one's own making, which must
            then keep every question that is put to it.
    """

    def __init__(self, library: Library, family: str | Family | Space) -> None:
        self.library = library
        given = family.family if isinstance(family, Space) else family
        self.family = given if isinstance(given, Family) else family_of(library, given)
        self._built = family_as_built(library, given) if isinstance(given, str) else self.family
        self._own = _Field(Ground(library, family)) if isinstance(family, Space) else None
        self._fields: dict[tuple[bool, frozenset[str]], _Field] = {}
        self._reasons: dict[str, dict[str, Reason | None]] = {}
        index = FamilyIndex(self.family)
        self._telling = frozenset(f for f, carrier in index.carrier_of.items() if not _loose(index, carrier))
        """Features that the variant settles, and that so tell it."""
        self._having: dict[str, dict[str, dict[str, bool]]] = {}

    def resolve(self, procedure: str, machine: Machine, answers: Answers | None = None) -> Resolved:
        """The procedure for the machine."""
        here = self._field(procedure, machine)
        within = _within(here.ground.space, machine)
        program = expand(self.library, procedure)
        if not within:
            return self._resolved(procedure, Verdict(_clash(here.ground.space, machine)), ())
        judge = Judge(here.ground, within, self._open(procedure, answers or {}))
        verdict = judge.verdict(program.condition)
        if verdict.out:
            return self._resolved(procedure, verdict, ())
        inner = judge if verdict.settled else judge.narrowed(program.condition)
        writer = _Writer(procedure, here, self.reasons(procedure), answers or {})
        return self._resolved(procedure, verdict, tuple(writer.items(program.items, inner)[0]))

    def holds_for(self, procedure: str, anchor: str) -> Holding:
        """For which machines the step at an anchor holds, whatever a step will ask."""
        way = holding.ways(self.library, procedure)[anchor]
        ground = self._field(procedure, Known()).ground
        judge = Judge(ground, ground.space.all, self._open(procedure, {}))
        condition = self._feature_part(way.condition)
        return Holding(judge.may_hold(way.condition), ground.space, condition, self.having(procedure)[anchor])

    def siblings(self, procedure: str, anchor: str) -> dict[str, holding.Sibling]:
        """For each variant, where the same step stands on its page, or what stands in its place."""
        ways = tuple(holding.ways(self.library, procedure).values())
        having = self.having(procedure)
        steps = {v.id: frozenset(each for each, has in having.items() if v.id in has) for v in self.family.variants}
        return {variant: holding.sibling_of(ways, anchor, here) for variant, here in steps.items()}

    def having(self, procedure: str) -> Mapping[str, Mapping[str, bool]]:
        """For each step by its anchor, the variants that have it as built; true: all machines of the variant."""
        if procedure not in self._having:
            ways = holding.ways(self.library, procedure)
            self._having[procedure] = {anchor: dict(self._variants(procedure, way)) for anchor, way in ways.items()}
        return self._having[procedure]

    def reasons(self, procedure: str) -> Mapping[str, Reason | None]:
        """Why each step is here, by its anchor; None where every machine has it."""
        if procedure not in self._reasons:
            found = holding.ways(self.library, procedure)
            self._reasons[procedure] = {anchor: self._reason(procedure, way) for anchor, way in found.items()}
        return self._reasons[procedure]

    def _reason(self, procedure: str, way: holding.Way) -> Reason | None:
        condition = self._feature_part(way.condition)
        if condition == ALWAYS:
            return None
        variants = tuple(self.having(procedure)[way.act.anchor].items())
        return Reason(condition, condition_words(self.library, condition), variants)

    def _variants(self, procedure: str, way: holding.Way) -> Iterator[tuple[str, bool]]:
        ground = self._field(procedure, AsBuilt("")).ground
        for variant in self.family.variants:
            made = ground.space.as_built(variant.id)
            judge = Judge(ground, made, self._open(procedure, {}))
            held = judge.may_hold(way.condition) if made else 0
            if held:
                yield variant.id, held == made

    def _feature_part(self, condition: Condition) -> Condition:
        asked = (q for kind in ASKED_KINDS[1:] for q in self.library.of(kind))
        return holding.feature_part(condition, asked)

    def _field(self, procedure: str, machine: Machine) -> _Field:
        if self._own:
            return self._own
        family = self._built if isinstance(machine, AsBuilt) else self.family
        asked = holding.questions_read(self.library, procedure)
        if VARIANT in asked and isinstance(machine, Known):
            asked |= self._telling
        asked &= frozenset(feature.id for feature in family.features)
        if isinstance(machine, Known):
            asked = asked.union(machine.forms)
        key = (isinstance(machine, AsBuilt), asked)
        if key not in self._fields:
            self._fields[key] = _Field(Ground(self.library, Space(family, asked)))
        return self._fields[key]

    def _open(self, procedure: str, answers: Answers) -> dict[str, tuple[str, ...]]:
        """What may have been changed before the procedure begins, and what has been answered."""
        changed = changes_before(self.library, procedure)
        found = {feature: (UNCHANGED, *sorted(forms)) for feature, forms in changed.items()}
        return found | {question: (answer,) for question, answer in answers.items()}

    def _resolved(self, procedure: str, verdict: Verdict, items: tuple[ResolvedItem, ...]) -> Resolved:
        title = name_of(self.library.procedures[procedure], "procedures")
        return Resolved(procedure, title, self.family.id, verdict, items)


@dataclass(frozen=True)
class _Writer:
    """Writes the items of one procedure for one machine."""

    procedure: str
    field: _Field
    reasons: Mapping[str, Reason | None]
    answers: Answers

    @property
    def library(self) -> Library:
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
                        judge = self._after(judge, item, verdict.settled)
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
            judge = self._reopened(judge, (item,))
        return found, judge

    def _step(self, act: Act, judge: Judge, verdict: Verdict) -> ResolvedStep:
        """The very same value for all machines for which it is the same, so that it is rendered once."""
        key = self._key(act, judge)
        if key is None:
            return self._made(act, judge, verdict)
        if key not in self.field.steps:
            self.field.steps[key] = self._made(act, judge, verdict)
        return self.field.steps[key]

    def _key(self, act: Act, judge: Judge) -> tuple[str, str, tuple[bool, ...]] | None:
        place = (self.procedure, act.anchor)
        conditions = self.field.conditions.get(place)
        if conditions is None:
            found = dict.fromkeys(holding.conditions_of(self.library, act))
            conditions = self.field.conditions[place] = tuple(found)
        holds = judge.settled_all(conditions)
        return None if holds is None else (*place, holds)

    def _made(self, act: Act, judge: Judge, verdict: Verdict) -> ResolvedStep:
        here = judge if verdict.settled else judge.narrowed(act.condition)
        step = act.step
        texts = (step.why, step.ok, step.trap, step.otherwise)
        why, ok, trap, otherwise = (_prose(here, text, act) if text else None for text in texts)
        do = _prose(here, act.do or contrary_text(here, act), act)
        return ResolvedStep(act, verdict, self.reasons[act.anchor], do, why, ok, trap, otherwise)

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
        judge = self._reopened(judge, (loop,))  # a second round starts where the first one ended
        body, after = self.items(loop.items, judge)
        otherwise = self.items(loop.otherwise, after)[0]
        if not body:
            return []
        until = condition_words(self.library, loop.condition)
        return [Repeated(until, loop.at_most, tuple(body), tuple(otherwise))]

    def _after(self, judge: Judge, act: Act, surely: bool) -> Judge:
        """What is possible after a step: what it asked is open, what it changed is what it made of it."""
        changed = {
            feature: (form,) if surely else tuple(dict.fromkeys((*judge.open.get(feature, (UNCHANGED,)), form)))
            for feature, form in changes_of(self.library, act.step).items()
        }
        return judge.with_open(self._asked_anew((act,)) | changed)

    def _reopened(self, judge: Judge, items: Items) -> Judge:
        """What is possible after items that may or may not have been done."""
        changed = {
            feature: tuple(dict.fromkeys((*judge.open.get(feature, (UNCHANGED,)), *sorted(forms))))
            for feature, forms in changes_in(self.library, items).items()
        }
        return judge.with_open(self._asked_anew(items) | changed)

    def _asked_anew(self, items: Items) -> dict[str, tuple[str, ...]]:
        states = self.field.ground.states
        return {
            question: (self.answers[question],) if question in self.answers else states[question]
            for act in acts_of(items)
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


def _loose(index: FamilyIndex, carrier: str) -> bool:
    return index.carriers[carrier].swapped or carrier in index.free


def _within(space: Space, machine: Machine) -> int:
    return space.as_built(machine.variant) if isinstance(machine, AsBuilt) else space.known(machine)


def _clash(space: Space, machine: Machine) -> Truth:
    return Contradiction(clash(space, machine) if isinstance(machine, Known) else ())
