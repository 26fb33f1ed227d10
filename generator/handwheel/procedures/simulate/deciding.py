"""Conditions that read what was found, chosen or measured: worlds are split where it matters, and only there."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.procedures.simulate.book import Book, Spot
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.world import Fact, World


class Decider:
    """Splits worlds at conditions, and tells of questions that nobody asked."""

    def __init__(self, ground: Ground, book: Book, alone: bool) -> None:
        self._ground = ground
        self._book = book
        self._alone = alone

    def decide(self, world: World, condition: Condition, spot: Spot) -> list[tuple[World, int]]:
        """The world in parts, each with the machines on which the condition holds."""
        if condition is ALWAYS or condition == ALWAYS:
            return [(world, world.machines)]
        asked = self._ground.clause(condition).asked
        if not asked:
            return [(world, self._ground.mask(condition, world))]
        world = self._read(world, condition, asked)
        worlds = self._split(world, condition, [q for q in asked if q not in world.answers], asked=True)
        found: list[tuple[World, int]] = []
        for each in worlds:
            for part in self._too_late(each, condition, spot):
                found.append((part, self._holds(condition, part)))
        return found

    def answers(self, world: World, question: str, machines: int) -> list[World]:
        """The world split by a question's states, on the machines given; the rest stays one."""
        here = machines & world.machines
        if not here:
            return [world]
        rest = world.machines & ~here
        found = [world.within(rest)] if rest else []
        for state in self._ground.states[question]:
            found.append(world.within(here).answered(question, state).told(question, frozenset((state,))))
        return found

    def _read(self, world: World, condition: Condition, asked: tuple[str, ...]) -> World:
        """Note which questions the condition looks at."""
        facts: dict[Fact, int] = {}
        for question in asked:
            here = world.has("asked", question)
            looked = self._ground.depends(condition, question, world, asked) & here if here else 0
            before = world.facts.get(("read", question), 0)
            if looked & ~before:
                facts["read", question] = before | looked
        return world.with_facts({**world.facts, **facts}) if facts else world

    def _split(self, world: World, condition: Condition, questions: Iterable[str], asked: bool) -> list[World]:
        worlds = [world]
        for question in questions:
            split: list[World] = []
            for each in worlds:
                open_ = self._ground.open(condition, each)
                here = self._ground.depends(condition, question, each, open_) & each.has("asked", question)
                split += self.answers(each, question, here) if asked or here else [each]
            worlds = split
        return worlds

    def _too_late(self, world: World, condition: Condition, spot: Spot) -> list[World]:
        """What is read before it was asked is told, and taken to be asked now."""
        open_ = self._ground.open(condition, world)
        if not open_:
            return [world]
        facts: dict[Fact, int] = dict(world.facts)
        late = []
        for question in open_:
            here = self._ground.depends(condition, question, world, open_) & ~world.has("asked", question)
            if here:
                late.append(question)
                for kind in ("asked", "read"):
                    facts[kind, question] = facts.get((kind, question), 0) | here
                self._tell(question, here, world, spot)
        if not late:
            return [world]
        return self._split(world.with_facts(facts), condition, open_, asked=True)

    def _tell(self, question: str, machines: int, world: World, spot: Spot) -> None:
        if self._alone:
            self._book.need(("asked", question), True, machines, spot)
            return
        plural = next(p for p in ("findings", "choices", "readings") if question in self._ground.library.of(p))
        self._book.tell("asked-too-late", spot, (plural, question), machines, world)

    def _holds(self, condition: Condition, world: World) -> int:
        """Whatever is still open makes no difference now."""
        return self._ground.cases(condition, world)[0].holds & world.machines
