"""Jobs and procedures run on every machine of a family that can stand here."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from handwheel.machines.cells import size_of
from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.family import FamilyIndex
from handwheel.machines.space import Space
from handwheel.procedures.expand import expand, expand_job
from handwheel.procedures.program import Program
from handwheel.procedures.simulate import ending
from handwheel.procedures.simulate.anatomy import anatomy_of
from handwheel.procedures.simulate.book import Book, Spot
from handwheel.procedures.simulate.engine import Engine, Planner, Setup
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.lifting import LiftLimit
from handwheel.procedures.simulate.starting import questions, start
from handwheel.procedures.simulate.trace import Trace
from handwheel.procedures.simulate.world import World
from handwheel.records.families import family_of
from handwheel.records.library import Library
from handwheel.records.values import When

FEW = 20_000
"""Combinations of all features up to which runs share one space of machines."""


@dataclass(frozen=True, eq=False)
class Run:
    """One job, or one procedure by itself, run on all machines of a family."""

    family: str
    job: str
    """Empty where a procedure is run alone."""
    procedures: tuple[str, ...]
    ground: Ground
    machines: int
    """Machines that it was run on."""
    trace: Trace

    @property
    def space(self) -> Space:
        """The machines, told apart as far as this run needs it."""
        return self.ground.space


def run_job(
    library: Library, family: str, job: str, limit: LiftLimit = LiftLimit(), planner: Planner | None = None
) -> Run:
    """Run a job from its start to its end on every machine that can have it."""
    record = library.jobs[job]
    programs = expand_job(library, job)
    neglected = record.start == "neglected"
    ground = ground_of(library, family, questions(anatomy_of(library), programs, _when(record.when), neglected))
    setup = Setup(alone=False, outcomes=record.outcomes, limit=limit, planner=planner)
    machines = _machines(ground, record.when)
    book, engine, left = _run(ground, programs, machines, neglected, setup)
    spot = Spot(len(programs), "", record.place)
    for world in left:
        world = ending.forget(ground, world, frozenset())
        ending.end(ground, book, world, spot, (), handed_over=True)
        handed = world.has("handed", "over")
        if handed:
            book.ends[ending.IN_SERVICE] = book.ends.get(ending.IN_SERVICE, 0) | handed
    return Run(family, job, record.procedures, ground, machines, _trace(book, engine))


def run_procedure(
    library: Library, family: str, procedure: str, limit: LiftLimit = LiftLimit(), planner: Planner | None = None
) -> Run:
    """Run one procedure by itself: what it needs is taken for granted, and listed."""
    programs = (expand(library, procedure),)
    ground = ground_of(library, family, questions(anatomy_of(library), programs, (), False))
    machines = ground.space.all
    book, engine, _ = _run(ground, programs, machines, False, Setup(alone=True, limit=limit, planner=planner))
    return Run(family, "", (procedure,), ground, machines, _trace(book, engine))


def run_all(
    library: Library,
    limit: LiftLimit = LiftLimit(),
    planner: Planner | None = None,
    besides: Collection[str] = (),
    families: Collection[str] | None = None,
) -> tuple[Run, ...]:
    """Every job and every procedure of its own, but those `besides`, on every family that has a machine for it."""
    runs: list[Run] = []
    for family in library.families if families is None else families:
        if not library.variants_of(family):
            continue
        runs += (run_job(library, family, job, limit, planner) for job in library.jobs)
        own = (each.id for each in library.procedures.values() if not each.shared and each.id not in besides)
        runs += (run_procedure(library, family, each, limit, planner) for each in own)
    return tuple(run for run in runs if any(summary.machines for summary in run.trace.summaries))


@lru_cache(maxsize=32)
def _index(library: Library, family: str) -> FamilyIndex:
    return FamilyIndex(family_of(library, family))


def ground_of(library: Library, family: str, asked: frozenset[str]) -> Ground:
    """The machines of a family, told apart by these features; by all features where the machines are few."""
    everything = frozenset(_index(library, family).carrier_of)
    return _ground(library, family, everything if _size(library, family) <= FEW else asked)


@lru_cache(maxsize=256)
def _ground(library: Library, family: str, asked: frozenset[str]) -> Ground:
    index = _index(library, family)
    return Ground(anatomy_of(library), Space(index, asked & index.features.keys()))


@lru_cache(maxsize=32)
def _size(library: Library, family: str) -> int:
    index = _index(library, family)
    return size_of(index, frozenset(index.carrier_of))


def _run(
    ground: Ground, programs: Sequence[Program], machines: int, neglected: bool, setup: Setup
) -> tuple[Book, Engine, list[World]]:
    book = Book()
    engine = Engine(ground, book, setup)
    world = start(ground, machines, neglected, book)
    return book, engine, engine.programs(programs, world)


def _trace(book: Book, engine: Engine) -> Trace:
    return replace(book.trace(), summaries=tuple(engine.summaries))


def _machines(ground: Ground, when: When | None) -> int:
    condition: Condition = when.condition if when else ALWAYS
    everywhere = World(ground.space.all)
    return ground.mask(condition, everywhere)


def _when(when: When | None) -> tuple[Condition, ...]:
    return (when.condition,) if when else ()


def run_program(library: Library, family: str, program: Program) -> Run:
    """Run steps that are put together and written nowhere, from a machine in order; nothing is handed over."""
    ground = ground_of(library, family, questions(anatomy_of(library), (program,), (), False))
    machines = ground.space.all
    book, engine, _ = _run(ground, (program,), machines, False, Setup(alone=False))
    return Run(family, "", ("",), ground, machines, _trace(book, engine))
