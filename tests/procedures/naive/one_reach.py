"""How parts are reached on one machine: every set of steps is tried, the small ones first. Slow, and easy to read."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations

from naive.one_machine import OneMachine
from naive.one_state import OneState

from handwheel.machines.conditions import Condition
from handwheel.procedures.expand import expand
from handwheel.procedures.mirror import mirror_act
from handwheel.procedures.program import Act, Fork, Guarded, Items, Reached
from handwheel.records.library import Library

UNTOLD = 1_000_000
"""Added to the place of a part that no step takes off, so that it comes after all steps."""


@dataclass
class Step:
    """One thing that can be done; without steps, a part's coming off that no step tells."""

    number: int
    parts: list[str]
    acts: list[Act]


@dataclass
class Answer:
    first: tuple[Act, ...]
    back: tuple[Act, ...]
    missing: list[str]
    stuck: bool = False


@lru_cache(maxsize=4)
def written(library: Library) -> list[tuple[Condition, Items]]:
    """Procedures with their conditions, those that strip first."""
    own = [each for each in library.procedures.values() if not each.shared]
    own = [each for each in own if each.area == "strip"] + [each for each in own if each.area != "strip"]
    programs = [expand(library, each.id) for each in own]
    return [(program.condition, program.items) for program in programs]


class OneReach:
    def __init__(self, machine: OneMachine, state: OneState) -> None:
        self.machine = machine
        self.library = machine.library
        self.state = state

    def answer(self, item: Reached) -> Answer:
        steps = self.steps()
        best: tuple[tuple[int, int, float], tuple[int, ...], list[Step]] | None = None
        for size in range(len(steps) + 1):
            if best and best[0][0] == 0 and size > best[0][1]:
                break  # where a part comes off that no step takes off, any number of steps that spare it is better
            for some in combinations(steps, size):
                order = self.order(list(some))
                if order is None or not self.reached(item.parts, [part for step in order for part in step.parts]):
                    continue
                candidate = (self.cost(order), tuple(sorted(step.number for step in some)), order)
                if best is None or candidate[:2] < best[:2]:
                    best = candidate
        if best is None:
            return Answer((), (), [], stuck=True)
        acts = once([act for step in best[2] for act in step.acts])
        back = [mirror_act(act) for act in reversed(acts)]
        return Answer(
            tuple(replace(act, anchor=item.anchor_of(act)) for act in acts),
            tuple(replace(act, anchor=item.anchor_of(act)) for act in back if act is not None),
            [part for step in best[2] if not step.acts for part in step.parts],
        )

    def cost(self, order: list[Step]) -> tuple[int, int, float]:
        acts = once([act for step in order for act in step.acts])
        minutes = sum(act.step.minutes.likely for act in acts if act.step.minutes)
        return sum(not step.acts for step in order), len(acts), round(minutes, 6)

    # ----------------------------------------------------------------------------- what can be done

    def steps(self) -> list[Step]:
        found = []
        told: set[str] = set()
        number = 0
        for condition, items in written(self.library):
            ways = list(self.leading(items, self.true(condition)))
            for place, (act, here) in enumerate(ways):
                if act.mirrored or not act.step.removes:
                    continue
                if here and all(map(self.on, act.step.removes)):
                    before = [each for each, holds in ways[:place] if holds and self.prepares(each, act)]
                    found.append(Step(number, list(dict.fromkeys(act.step.removes)), [*before, act]))
                    told |= set(act.step.removes)
                number += 1
        for place, part in enumerate(self.library.parts):
            if part not in told and self.on(part):
                found.append(Step(UNTOLD + place, [part], []))
        return found

    def leading(self, items: Items, here: bool) -> Iterator[tuple[Act, bool]]:
        """Steps outside repeats and outside what is reached itself, each with whether this machine gets it."""
        for item in items:
            if isinstance(item, Act):
                yield item, here and self.true(item.condition)
            if isinstance(item, Guarded):
                yield from self.leading(item.items, here and self.true(item.when.condition))
            if isinstance(item, Fork):
                for arm in item.arms:
                    yield from self.leading(arm.items, here and self.true(arm.when.condition))

    def true(self, condition: Condition) -> bool:
        if self.machine.asked_in(condition):
            return False
        return self.machine.holds(condition, {}, self.state.changed)

    def on(self, part: str) -> bool:
        return self.machine.has_part(part, self.state.changed) and part not in self.state.off

    def slack(self, fastener: str) -> bool:
        if fastener in self.state.out:
            return True
        return self.library.fasteners[fastener].release == "loosened" and fastener in self.state.loose

    def prepares(self, earlier: Act, act: Act) -> bool:
        if earlier.step.removes:
            return False
        screws = [*earlier.step.undoes, *earlier.step.loosens]
        if screws and not earlier.step.marks and all(map(self.slack, screws)):
            return False
        held = [f.id for f in self.library.fasteners.values() if set(f.holds) & set(act.step.removes)]
        if set(held) & set(screws):
            return True
        for setting in earlier.step.marks:
            if set(self.library.settings[setting].held_by) & {*held, *act.step.removes}:
                return True
        return False

    # ---------------------------------------------------------------------------------- what bars it

    def order(self, steps: list[Step]) -> list[Step] | None:
        """The order in which they are done, always the first as written of those that can be; None if some cannot."""
        left, order, off = sorted(steps, key=lambda step: step.number), [], set(self.state.off)
        while left:
            for step in left:
                if self.can_be_done(step, off):
                    break
            else:
                return None
            left.remove(step)
            order.append(step)
            off |= set(step.parts)
        return order

    def can_be_done(self, step: Step, off: set[str]) -> bool:
        if off & set(step.parts):
            return False
        for act in step.acts:
            for fastener in (*act.step.undoes, *act.step.loosens):
                if self.machine.has_fastener(fastener, self.state.changed) and self.screw_barred(fastener, off):
                    return False
        now = set(off)
        for part in step.parts:
            if self.barred(part, now):
                return False
            now.add(part)
        return True

    def reached(self, parts: tuple[str, ...], more: list[str]) -> bool:
        off = {*self.state.off, *more}
        return not any(self.barred(part, off) for part in parts if self.on(part))

    def barred(self, part: str, off: set[str]) -> bool:
        """Something is in front of the part, or of a screw that still holds it."""
        if any(self.in_front(part, other, off) for other in self.machine.in_front_of(part)):
            return True
        for fastener in self.library.fasteners.values():
            holds = part in fastener.holds and self.machine.has_fastener(fastener.id, self.state.changed)
            if holds and not self.slack(fastener.id) and self.screw_barred(fastener.id, off):
                return True
        return False

    def screw_barred(self, fastener: str, off: set[str]) -> bool:
        record = self.library.fasteners[fastener]
        return any(self.in_front(record.holds[0], other, off) for other in record.behind)

    def in_front(self, part: str, other: str, off: set[str]) -> bool:
        if not self.machine.has_part(other, self.state.changed):
            return False
        mine = [part, *self.machine.carriers(part)]
        its = [other, *self.machine.carriers(other)]
        shared = next((each for each in mine if each in its), None)
        up = mine[1 : mine.index(shared)] if shared in mine else mine[1:]
        down = [other] if shared == other else its[: its.index(shared)] if shared in its else its
        return not off & {*up, *down, other}


def once(acts: list[Act]) -> list[Act]:
    return list({(act.id, act.anchor): act for act in acts}.values())
