"""Machines that share what was answered, with every fact about them as a set of machines."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

Fact = tuple[str, str]
"""What is so, and of what: ("off", "lamp"), ("lost", "throw"), ("live", "mains")."""

Facts = Mapping[Fact, int]

SOFT = frozenset(("touched", "waiting"))
"""Facts that hold of a machine as soon as they hold on one of its paths: they keep no worlds apart."""
Trail = Mapping[str, frozenset[str]]

_EMPTY: Mapping[Any, Any] = MappingProxyType({})


class World(NamedTuple):
    """Machines whose answers are the same as far as something later depends on them; made by the thousand, so a tuple.

    Facts may hold bits of machines that are elsewhere: they are read within `machines` only,
    so that taking a part of a world costs nothing.
    """

    machines: int
    answers: Mapping[str, str] = _EMPTY
    """Question -> answer; for a feature that work changed, its new form."""
    facts: Facts = _EMPTY
    later: Facts = _EMPTY
    """Faults and promises that nothing will mend; said when the machine's path ends."""
    trail: Trail = _EMPTY
    """Answers that led here, for messages; it decides nothing."""
    changed: tuple[tuple[str, str], ...] = ()
    """Features that work changed, sorted."""

    def within(self, machines: int) -> World:
        """The world with these of its machines only."""
        if machines == self.machines:
            return self
        return World(self.machines & machines, self.answers, self.facts, self.later, self.trail, self.changed)

    def has(self, kind: str, subject: str) -> int:
        """Its machines of which the fact holds."""
        return self.facts.get((kind, subject), 0) & self.machines

    def answered(self, question: str, state: str) -> World:
        """The world with a question answered."""
        answers = {**self.answers, question: state}
        return World(self.machines, answers, self.facts, self.later, self.trail, self.changed)

    def unanswered(self, question: str) -> World:
        """The world with an answer forgotten."""
        if question not in self.answers:
            return self
        return self._replace(answers={q: state for q, state in self.answers.items() if q != question})

    def told(self, question: str, states: frozenset[str]) -> World:
        """The world with an answer added to the trail."""
        trail = {**self.trail, question: states}
        return World(self.machines, self.answers, self.facts, self.later, trail, self.changed)

    def with_facts(self, facts: Facts) -> World:
        """The world with other facts."""
        return World(self.machines, self.answers, facts, self.later, self.trail, self.changed)


def merged(worlds: Iterable[World]) -> list[World]:
    """The same machines and facts in as few worlds as can be: one for each set of answers, if facts agree."""
    groups: dict[frozenset[tuple[str, str]], list[World]] = {}
    for world in worlds:
        if world.machines:
            add(groups.setdefault(frozenset(world.answers.items()), []), world)
    return [world for group in groups.values() for world in group]


def add(group: list[World], world: World) -> int:
    """Put a world into a group with the same answers; gives the machines that brought something new."""
    rest = world.machines
    for place, other in enumerate(group):
        both = other.machines & rest
        same = both & ~_differing(other.facts, world.facts, both) if both else 0
        if same:
            group[place] = _absorbed(other, world.within(same))
            rest &= ~same
    new = rest
    for place, other in enumerate(group):
        join = rest & ~other.machines
        if join:
            group[place] = _joined(other, world.within(join))
            rest &= ~join
    if rest:
        group.append(world.within(rest))
    return new


def _differing(one: Facts, other: Facts, both: int) -> int:
    """Machines of `both` on which some fact differs."""
    if one is other:
        return 0
    found = 0
    for fact, mine in one.items():
        its = other.get(fact, 0)
        if mine is not its and fact[0] not in SOFT:
            found |= (mine ^ its) & both
            if found == both:
                return found
    for fact, its in other.items():
        if fact not in one and fact[0] not in SOFT:
            found |= its & both
    return found


def _absorbed(one: World, other: World) -> World:
    """The one, with what the other brings besides facts, which are the same."""
    later = _either(one.later, one.machines, other.later, other.machines)
    soft = {
        fact: mask | one.facts.get(fact, 0) & one.machines
        for fact, there in other.facts.items()
        if fact[0] in SOFT and (mask := there & other.machines)
    }
    facts = {**one.facts, **soft} if soft else one.facts
    return one._replace(facts=facts, later=later, trail=_trail(one.trail, other.trail))


def _joined(one: World, other: World) -> World:
    """Both, which share no machine."""
    return World(
        one.machines | other.machines,
        one.answers,
        _either(one.facts, one.machines, other.facts, other.machines),
        _either(one.later, one.machines, other.later, other.machines),
        _trail(one.trail, other.trail),
        one.changed,
    )


def _either(one: Facts, ones: int, other: Facts, others: int) -> Facts:
    if one is other:
        return one
    found: dict[Fact, int] = {}
    for fact, mine in one.items():
        its = other.get(fact, 0)
        mask = mine if mine is its else (mine & ones) | (its & others)
        if mask:
            found[fact] = mask
    for fact, its in other.items():
        if fact not in one and (mask := its & others):
            found[fact] = mask
    return found


def _trail(one: Trail, other: Trail) -> Trail:
    if one is other:
        return one
    return {question: one[question] | other[question] for question in one.keys() & other.keys()}
