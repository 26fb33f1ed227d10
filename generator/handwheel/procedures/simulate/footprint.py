"""What each piece of a run looks at and changes, so that pieces that have nothing to do with each other are told apart.

Rather too much than too little: what is named here and not met costs size, what is met and not named would be a lie.
Facts about the mains and the tests are left out. Every run has all steps that read them, and each other step either
begins such a fact or does not, whatever else is so: what is true of it on a machine is told by some area.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from handwheel.machines.conditions import ALWAYS, Condition, questions_of
from handwheel.machines.family import FamilyIndex
from handwheel.procedures.changes import changes_of
from handwheel.procedures.program import Act, Guarded, Item, Items, Program, Reached, change_acts, inside
from handwheel.procedures.simulate.anatomy import Anatomy
from handwheel.procedures.simulate.ground import asked_states
from handwheel.procedures.simulate.reaching import programs_of
from handwheel.procedures.simulate.starting import conditions_in, questions
from handwheel.procedures.simulate.things import Things, changed_by, seen_by
from handwheel.procedures.simulate.trace import Subject
from handwheel.records.step_records import Step

Path = tuple[int, ...]
"""Position of the procedure in the run, then the place in each list of items on the way."""

ASKED, FORM, MOVER, WET, ITEM = "asked", "form", "mover", "wet", "items"


@dataclass(frozen=True)
class Unit:
    """A step, or steps that only make sense together: alternatives, a repeat, parts reached."""

    path: Path
    reads: frozenset[Subject]
    writes: frozenset[Subject]
    features: frozenset[str]
    """Features by which machines must be told apart for it."""
    core: bool
    """Whether it bears on all the others: power, tests, and where a path ends."""


class Footprints:
    """The pieces of one run."""

    def __init__(self, anatomy: Anatomy, index: FamilyIndex, programs: tuple[Program, ...], *, alone: bool) -> None:
        self.anatomy = anatomy
        self.library = anatomy.library
        self.index = index
        self.programs = programs
        self.alone = alone
        self.asked = frozenset(asked_states(anatomy.library, index))

    @cached_property
    def units(self) -> tuple[Unit, ...]:
        """All pieces, in the order of the run."""
        return tuple(self._units())

    @cached_property
    def changed(self) -> frozenset[str]:
        """Features that some step of the run may change."""
        steps = (act.step for program in self.programs for act in program.acts)
        return frozenset(feature for step in steps for feature in changes_of(self.library, step))

    def forms(self, features: Iterable[str]) -> frozenset[Subject]:
        """Those of the features that work may change, or what they rest on."""
        looked = (self.index.base(feature) for feature in features if feature in self.index.features)
        return frozenset((FORM, each) for each in frozenset[str]().union(*looked) & self.changed)

    def means(self, question: str) -> frozenset[Subject]:
        """Forms that tell whether a choice was kept."""
        choice = self.library.choices.get(question)
        return self.forms(choice.means) if choice else frozenset()

    # ------------------------------------------------------------------------------- where they are

    def _units(self) -> Iterator[Unit]:
        for position, program in enumerate(self.programs):
            record = self.library.procedures.get(program.procedure)
            proves = bool(record and record.aim and record.aim.proven)
            above = (program.condition,)
            if proves or not program.items or self._asks(above):
                yield self._bare((position,), above, core=proves)
            yield from self._in(program.items, (position,), above)

    def _in(self, items: Items, path: Path, above: tuple[Condition, ...]) -> Iterator[Unit]:
        for place, item in enumerate(items):
            here = (*path, place)
            if not isinstance(item, Guarded):
                yield self._unit(item, here, above)
                continue
            own = (*above, item.when.condition)
            if not item.items or self._asks(own):
                yield self._bare(here, own, core=False)
            yield from self._in(item.items, here, own)

    def _asks(self, conditions: Iterable[Condition]) -> frozenset[str]:
        return frozenset[str]().union(*map(questions_of, conditions)) & self.asked

    def _bare(self, path: Path, above: tuple[Condition, ...], *, core: bool) -> Unit:
        """A condition by itself."""
        features = questions(self.anatomy, (), above, False)
        asked = self._asks(above)
        writes = frozenset((ASKED, each) for each in asked)
        return Unit(path, writes.union(self.forms(features), *map(self.means, asked)), writes, features, core)

    # ------------------------------------------------------------------------------- what they meet

    def _unit(self, item: Item, path: Path, above: tuple[Condition, ...]) -> Unit:
        program = self._with_ways(Program("", ALWAYS, (item,)))
        steps = [act.step for each in program for act in each.acts]
        features = questions(self.anatomy, program, above, False)
        seen = seen_by(self.anatomy, program, self.alone)
        unlifted = [Program("", ALWAYS, change_acts(each.items, _without_lifts)) for each in program]
        changed = changed_by(self.anatomy, unlifted, self.alone)
        asked = {*self._asks((*above, *conditions_in(program))), *self._answered(steps, seen)}
        writes = {*_subjects(changed), *((ASKED, each) for each in asked), *self._besides(steps)}
        wets = {(WET, "") for step in steps if step.cleans or step.wait or step.renews}
        reads = {*writes, *_subjects(seen), *self.forms(features), *self._turned(steps), *self._near(steps)}
        reads.update(*map(self.means, asked))
        if _reaches(item):
            reads |= self._everything
            writes |= self._everything
        return Unit(path, frozenset(reads), frozenset(writes | wets), features, any(map(_bears_on_all, steps)))

    def _with_ways(self, program: Program) -> tuple[Program, ...]:
        """With all steps that may be put in where it reaches parts."""
        return (program, *programs_of(self.library, (program,)))

    def _answered(self, steps: Iterable[Step], things: Things) -> Iterator[str]:
        """Questions that the steps answer, or open again."""
        for step in steps:
            yield from (*step.finds, *step.measures, *step.asks, *step.becomes)
            for part in step.renews:
                yield from self.anatomy.findings_of.get(part, ())
            yield from self._movers(step) & self.library.findings.keys()
        for setting in things.settings:
            if self.library.settings[setting].reading:
                yield self.library.settings[setting].reading

    def _besides(self, steps: Iterable[Step]) -> Iterator[Subject]:
        for step in steps:
            yield from ((FORM, feature) for feature in changes_of(self.library, step))
            yield from ((ITEM, each) for each in (*step.takes_in, *step.gives_back))
            yield from ((MOVER, each) for each in self._movers(step))

    def _near(self, steps: Iterable[Step]) -> Iterator[Subject]:
        """What else a step looks at: the head under what is wiped, what is wet near what is warmed."""
        for step in steps:
            if step.heats:
                yield WET, ""
            if step.cleans and self.anatomy.root:
                yield "parts", self.anatomy.root
            if step.heats:
                yield from (("parts", part) for part in self.library.parts)
            if step.runs or step.proves:
                powers = (part.id for part in self.library.parts.values() if part.powers)
                yield from self._hanging(powers)

    def _turned(self, steps: Iterable[Step]) -> Iterator[Subject]:
        """Parts by which the works are turned, and those that must not be turned."""
        for step in steps:
            if step.turns or step.puts:
                yield from self._hanging(part.id for part in self.library.parts.values() if part.turns)
                forbidden = (each.part for each in self.library.prohibitions.values() if each.effect == "turns")
                yield from self._hanging(part for part in forbidden if part in self.library.parts)

    def _hanging(self, parts: Iterable[str]) -> Iterator[Subject]:
        for part in parts:
            yield from (("parts", each) for each in (part, *self.anatomy.carriers[part]))

    def _movers(self, step: Step) -> frozenset[str]:
        """What the step may turn, of that which may stand still."""
        positions = set(step.puts)
        for part in (*step.removes, *step.fits):
            positions |= self.library.parts[part].take_at.keys()
        for setting in step.sets:
            record = self.library.settings[setting].set_when
            positions |= record.positions.keys() if record else set()
        moved = {self.library.positions[each].moved_by for each in positions}
        every = {each.moved_by for each in self.library.positions.values()} if step.runs else set()
        return frozenset({*step.turns, *moved, *every} & self.library.findings.keys())

    @cached_property
    def _everything(self) -> frozenset[Subject]:
        library = self.library
        kinds = ("parts", "fasteners", "settings", "oiling_points")
        return frozenset((kind, each) for kind in kinds for each in library.of(kind))


def _without_lifts(act: Act) -> Act:
    return replace(act, step=replace(act.step, lifts=())) if act.step.lifts else act


def _bears_on_all(step: Step) -> bool:
    return bool(step.isolates or step.restores or step.runs or step.proves or step.hands_over or step.stops)


def _reaches(item: Item) -> bool:
    return isinstance(item, Reached) or any(_reaches(each) for held in inside(item) for each in held)


def _subjects(things: Things) -> Iterator[Subject]:
    yield from (("parts", each) for each in things.parts)
    yield from (("fasteners", each) for each in things.fasteners)
    yield from (("settings", each) for each in things.settings)
    yield from (("oiling_points", each) for each in things.points)
