"""A job on one machine: every way in which its questions may be answered, one after the other."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from typing import Any

from naive.one_machine import OneMachine
from naive.one_reach import OneReach
from naive.one_state import OneState
from naive.one_step import NOTHING, OneStep

from handwheel.machines.conditions import Condition
from handwheel.procedures.expand import expand_job
from handwheel.procedures.program import Act, Fork, Guarded, Item, Items, Loop, Reached, acts_of
from handwheel.records.library import Library
from handwheel.records.work_records import Aim

Where = tuple[int, Any, str]
"""Position of the procedure, place in the file, anchor of the step."""

Finding = tuple[str, Where, tuple[str, str], tuple[str, str]]
"""Code, where, what it is about, what else."""


def simulate(library: Library, job: str, variant: str, forms: dict[str, str]) -> set[Finding]:
    """Everything that must not happen when the job is done on this machine."""
    return Walk(library, job, OneMachine(library, variant, forms)).walk()


class Walk:
    def __init__(self, library: Library, job: str, machine: OneMachine) -> None:
        self.library = library
        self.job = library.jobs[job]
        self.machine = machine
        self.found: set[Finding] = set()
        self.position = 0
        self.loops: list[Loop] = []
        self.reached: tuple[str, ...] = ()

    def walk(self) -> set[Finding]:
        if self.job.when and not self.machine.holds(self.job.when.condition, {}, {}):
            return set()
        states = [self.start()]
        programs = expand_job(self.library, self.job.id)
        for self.position, program in enumerate(programs):
            record = self.library.procedures[program.procedure]
            mine, others = self.divide(states, program.condition, record.place)
            mine = self.run(program.items, mine)
            for state in mine:
                if record.aim:
                    self.aim(record.aim, state)
            states = distinct([*mine, *others])
        self.position = len(programs)
        for state in states:
            self.demands(state, (self.position, self.job.place, ""), (), True)
        return self.found

    def start(self) -> OneState:
        state = OneState(live=self.machine.has_mains({}))
        state.stale = {each.id for each in self.library.proofs.values() if self.machine.when(each.when, {})}
        if self.job.start == "neglected":
            for setting in self.library.settings.values():
                if self.machine.has_setting(setting.id, {}) and not setting.arrangement:
                    state.lost.add(setting.id)
            for point in self.library.oiling_points.values():
                if self.machine.has_point(point.id, {}):
                    state.dry.add(point.id)
                    state.gummed |= set(point.between)
            for position in self.library.positions.values():
                finding = self.library.findings.get(position.moved_by)
                if finding and self.machine.when(finding.when, {}):
                    state.may_be_seized.add(finding.id)
        return state

    def tell(self, code: str, where: Where, subject: tuple[str, str], about: tuple[str, str] = NOTHING) -> None:
        self.found.add((code, where, subject, about))

    # -------------------------------------------------------------------------------- conditions

    def decide(
        self, state: OneState, condition: Condition, place: Any, anchor: str = ""
    ) -> list[tuple[OneState, bool]]:
        """Whether it holds; questions that nobody asked are answered in every way."""
        asked = self.machine.asked_in(condition)
        for question in asked:
            if question in state.answers and self.matters(condition, question, asked, {}, state):
                state = state.copy()
                state.read.add(question)
        missing = [question for question in asked if question not in state.answers]
        late = [q for q in missing if self.matters(condition, q, missing, state.answers, state)]
        for question in late:
            self.tell("asked-too-late", (self.position, place, anchor), self.named(question))
        found = []
        for answers in product(*(self.machine.states(question) for question in late)):
            new = state.copy()
            new.answers |= dict(zip(late, answers, strict=True))
            new.read |= set(late)
            filler = {q: self.machine.states(q)[0] for q in missing}
            found.append((new, self.machine.holds(condition, filler | new.answers, new.changed)))
        return found

    def matters(
        self, condition: Condition, question: str, free: list[str], known: dict[str, str], state: OneState
    ) -> bool:
        """Whether the answer can make a difference for some answers to the other free questions."""
        others = [each for each in free if each != question]
        for answers in product(*(self.machine.states(each) for each in others)):
            given = known | dict(zip(others, answers, strict=True))
            results = {
                self.machine.holds(condition, given | {question: each}, state.changed)
                for each in self.machine.states(question)
            }
            if len(results) > 1:
                return True
        return False

    def divide(self, states: list[OneState], condition: Condition, place: Any) -> tuple[list[OneState], list[OneState]]:
        decided = [pair for state in states for pair in self.decide(state, condition, place)]
        return [state for state, holds in decided if holds], [state for state, holds in decided if not holds]

    def named(self, question: str) -> tuple[str, str]:
        for plural in ("features", "findings", "choices", "readings"):
            if question in self.library.of(plural):
                return plural, question
        return "features", question

    # ------------------------------------------------------------------------------------- items

    def run(self, items: Items, states: list[OneState]) -> list[OneState]:
        for item in items:
            states = distinct(self.item(item, states)) if states else []
        return states

    def item(self, item: Item, states: list[OneState]) -> list[OneState]:
        match item:
            case Act():
                return [new for state in states for new in self.act(item, state)]
            case Guarded():
                inside, outside = self.divide(states, item.when.condition, item.when.place)
                return [*self.run(item.items, distinct(inside)), *outside]
            case Fork():
                return self.fork(item, states)
            case Loop():
                return self.loop(item, states)
            case Reached():
                return [new for state in states for new in self.reach(item, state)]

    def reach(self, item: Reached, state: OneState) -> list[OneState]:
        answer = OneReach(self.machine, state).answer(item)
        where = (self.position, item.place, "")
        for part in answer.missing:
            self.tell("no-removal", where, ("parts", part))
        if answer.stuck:
            self.tell("never-free", where, ("parts", item.parts[0]))
        if not answer.missing and not answer.stuck:
            return self.run((*answer.first, *item.items, *answer.back), [state])
        before = self.reached
        self.reached = (*before, *item.parts)
        done = self.run(item.items, [state])
        self.reached = before
        return done

    def fork(self, item: Fork, states: list[OneState]) -> list[OneState]:
        subject = self.named(item.question) if item.question else NOTHING
        where = (self.position, item.place, "")
        chosen: list[list[OneState]] = [[] for _ in item.arms]
        left = []
        for state in states:
            ways: list[tuple[OneState, tuple[bool, ...]]] = [(state, ())]
            for arm in item.arms:
                ways = [
                    (new, (*before, holds))
                    for old, before in ways
                    for new, holds in self.decide(old, arm.when.condition, item.place)
                ]
            for new, holds_ in ways:
                if sum(holds_) > 1:
                    self.tell("several-alternatives", where, subject)
                if any(holds_):
                    chosen[holds_.index(True)].append(new)
                else:
                    self.tell("no-alternative", where, subject)
                    left.append(new)
        for arm, mine in zip(item.arms, chosen, strict=True):
            left += self.run(arm.items, distinct(mine))
        return left

    def loop(self, item: Loop, states: list[OneState]) -> list[OneState]:
        where = (self.position, item.place, "")
        ends = next(iter(item.until))
        seen: set[Any] = set()
        exits: list[OneState] = []
        failed: list[OneState] = []
        waiting = [rested(state, item) for state in states]
        self.loops.append(item)
        while waiting:
            fresh = [state for state in distinct(waiting) if state.key() not in seen]
            seen |= {state.key() for state in fresh}
            waiting = []
            for state in self.run(item.items, fresh):
                for new, holds in self.decide(state, item.condition, item.place):
                    if holds:
                        exits.append(rested(new, item))
                        continue
                    if id(item) not in new.acted:
                        self.tell("repeat-changes-nothing", where, NOTHING)
                    failed.append(rested(new, item))
                    waiting.append(rested(new, item))
        self.loops.pop()
        if states and (not exits or not self.answered_inside(item)):
            self.tell("never-ends", where, self.named(ends))
        if failed and not item.otherwise:
            self.tell("no-way-out", where, self.named(ends))
        return [*exits, *self.run(item.otherwise, distinct(failed))]

    def answered_inside(self, item: Loop) -> bool:
        for question in item.until:
            if self.machine.is_feature(question):
                return True
            for act in acts_of(item.items):
                step = act.step
                if question in (*step.finds, *step.measures, *step.asks, *step.becomes):
                    return True
        return False

    # ------------------------------------------------------------------------------------- steps

    def act(self, item: Act, state: OneState) -> list[OneState]:
        done = []
        where = (self.position, item.place, item.anchor)
        for new, holds in self.decide(state, item.condition, item.place, item.anchor):
            if not holds or self.apart_already(item, new):
                done.append(new)
                continue
            done += self.do(item, new.copy(), where)
        return done

    def apart_already(self, item: Act, state: OneState) -> bool:
        if not item.unless_apart or not item.step.removes:
            return False
        return all(part in state.off or not self.machine.has_part(part, state.changed) for part in item.step.removes)

    def do(self, item: Act, state: OneState, where: Where) -> list[OneState]:
        step = item.step
        tell: Callable[..., None] = lambda code, subject, about: self.tell(code, where, subject, about)  # noqa: E731
        for mover in self.movers(item):
            if mover in state.answers and mover not in step.finds:
                state.read.add(mover)
        work = OneStep(self.machine, state, step, tell, self.reached)
        work.run()
        asked = work.asked_now()
        for loop in self.loops:
            if not set(loop.until) & {*step.finds, *step.measures, *step.asks}:
                state.acted.add(id(loop))
        found = []
        for answers in product(*(self.machine.states(question) for question in asked)):
            new = state.copy()
            new.read -= set(asked)
            new.may_be_seized -= set(asked)
            new.answers |= dict(zip(asked, answers, strict=True))
            found.append(new)
        if not step.stops:
            return found
        outcome = self.job.outcomes.get(step.stops)
        for new in found:
            if outcome is None:
                self.tell("unknown-outcome", where, NOTHING)
            self.demands(new, where, outcome.may_be if outcome else (), False)
        return []

    def movers(self, item: Act) -> set[str]:
        step = item.step
        positions = set(step.puts)
        for part in (*step.removes, *step.fits):
            positions |= set(self.library.parts[part].take_at)
        for setting in step.sets:
            record = self.library.settings[setting].set_when
            positions |= set(record.positions) if record else set()
        return {*step.turns, *(self.library.positions[each].moved_by for each in positions)}

    # --------------------------------------------------------------------------------------- ends

    def demands(self, state: OneState, where: Where, may_be: tuple[str, ...], handed_over: bool) -> None:
        if "all" in may_be:
            may_be = ("apart", "loose", "unset", "dry", "untested", "faulty")
        changed = state.changed
        if "apart" not in may_be:
            for part in state.off:
                if self.machine.has_part(part, changed):
                    self.tell("left-off", where, ("parts", part))
        if "loose" not in may_be:
            for fastener in state.loose | state.out:
                on = not any(part in state.off for part in self.library.fasteners[fastener].holds)
                if on and self.machine.has_fastener(fastener, changed):
                    self.tell("left-loose", where, ("fasteners", fastener))
        if "unset" not in may_be:
            for setting in state.lost:
                if self.machine.has_setting(setting, changed):
                    self.tell("not-set-again", where, ("settings", setting))
        if "dry" not in may_be:
            for point in state.dry:
                if self.machine.has_point(point, changed):
                    self.tell("not-oiled", where, ("oiling_points", point))
            for part in state.gummed:
                if self.machine.has_part(part, changed):
                    self.tell("never-cleaned", where, ("parts", part))
        if state.live:
            self.tell("left-plugged-in", where, ("supply", "mains"))
        if "faulty" not in may_be:
            self.faults(state, where)
        if "untested" not in may_be:
            for proof in self.library.proofs.values():
                counts = not handed_over or (state.handed and proof.id not in state.known_stale)
                if counts and proof.id in state.stale and self.machine.when(proof.when, changed):
                    self.tell("handed-over-untested", where, ("proofs", proof.id))
        if handed_over:
            for item in state.taken:
                self.tell("not-given-back", where, ("items", item))
            if not state.handed:
                self.tell("never-handed-over", where, NOTHING)

    def faults(self, state: OneState, where: Where) -> None:
        for question, answer in state.answers.items():
            if question in self.library.choices:
                means = self.library.choices[question].means
                kept = all(self.machine.form(feature, state.changed) in forms for feature, forms in means.items())
                if not means and question not in state.read:
                    self.tell("nothing-follows", where, ("choices", question))
                if answer == "accepted" and not kept:
                    self.tell("promise-not-kept", where, ("choices", question))
            elif answer not in self.machine.good(question):
                code = "fault-left" if question in state.read else "nothing-follows"
                self.tell(code, where, self.named(question))

    def aim(self, aim: Aim, state: OneState) -> None:
        record = self.library.procedures[self.job.procedures[self.position]].aim
        assert record is not None
        where = (self.position, record.place, "")
        stripped = [
            part for part in self.library.parts if self.machine.carrier(part) in aim.stripped and part not in aim.left
        ]
        for part in (*aim.apart, *stripped):
            if self.machine.has_part(part, state.changed) and part not in state.off:
                self.tell("aim-missed", where, ("parts", part))
        for part in aim.fitted:
            off = any(each in state.off for each in (part, *self.machine.carriers(part)))
            if self.machine.has_part(part, state.changed) and off:
                self.tell("aim-missed", where, ("parts", part))
        for part in aim.clean:
            if self.machine.has_part(part, state.changed) and part not in state.clean:
                self.tell("aim-missed", where, ("parts", part))
        for setting in aim.set:
            if self.machine.has_setting(setting, state.changed) and setting in state.lost:
                self.tell("aim-missed", where, ("settings", setting))
        for point in aim.oiled:
            if self.machine.has_point(point, state.changed) and point not in state.oiled:
                self.tell("aim-missed", where, ("oiling_points", point))
        for proof in aim.proven:
            when = self.library.proofs[proof].when
            if self.machine.when(when, state.changed) and proof in state.stale:
                self.tell("aim-missed", where, ("proofs", proof))


def rested(state: OneState, loop: Loop) -> OneState:
    new = state.copy()
    new.acted.discard(id(loop))
    return new


def distinct(states: list[OneState]) -> list[OneState]:
    return list({state.key(): state for state in states}.values()) if len(states) > 1 else states
