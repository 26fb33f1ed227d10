"""Jobs and procedures run on every machine of a family that can stand here."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from handwheel.machines import cells
from handwheel.machines.cells import size_of
from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.errors import Coupled, MachinesError, TooMany
from handwheel.machines.family import FamilyIndex
from handwheel.machines.space import Space
from handwheel.procedures.expand import expand, expand_job
from handwheel.procedures.program import Program
from handwheel.procedures.simulate import ending
from handwheel.procedures.simulate.anatomy import anatomy_of
from handwheel.procedures.simulate.areas import ENOUGH, Area, Areas
from handwheel.procedures.simulate.book import Book, Spot
from handwheel.procedures.simulate.engine import Engine, Planner, Setup
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.lifting import LiftLimit
from handwheel.procedures.simulate.starting import questions, start
from handwheel.procedures.simulate.trace import Subject, Trace
from handwheel.procedures.simulate.world import World
from handwheel.records.families import family_of
from handwheel.records.library import Library
from handwheel.records.values import When
from handwheel.records.work_records import Job

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

    @property
    def has_machines(self) -> bool:
        """Whether some machine has it."""
        return any(summary.machines for summary in self.trace.summaries)


class Task(NamedTuple):
    """A job, or where it has no name a procedure alone, that is to be run on a family."""

    family: str
    job: str
    procedure: str = ""


def run_job(
    library: Library, family: str, job: str, limit: LiftLimit = LiftLimit(), planner: Planner | None = None
) -> Run:
    """Run a job from its start to its end on every machine that can have it."""
    record = library.jobs[job]
    programs = expand_job(library, job)
    neglected = record.start == "neglected"
    ground = ground_of(library, family, programs, _when(record.when), neglected)
    setup = Setup(alone=False, outcomes=record.outcomes, limit=limit, planner=planner)
    machines = _machines(ground, record.when)
    book, engine, left = _run(ground, programs, machines, neglected, setup)
    _over(ground, book, left, Spot(len(programs), "", record.place))
    return Run(family, job, record.procedures, ground, machines, _trace(book, engine))


def run_procedure(
    library: Library, family: str, procedure: str, limit: LiftLimit = LiftLimit(), planner: Planner | None = None
) -> Run:
    """Run one procedure by itself: what it needs is taken for granted, and listed."""
    programs = (expand(library, procedure),)
    ground = ground_of(library, family, programs)
    machines = ground.space.all
    book, engine, _ = _run(ground, programs, machines, False, Setup(alone=True, limit=limit, planner=planner))
    return Run(family, "", (procedure,), ground, machines, _trace(book, engine))


def tasks(library: Library, besides: Collection[str] = (), families: Collection[str] | None = None) -> Iterator[Task]:
    """What is to be run: every job and every procedure of its own, but those `besides`, on every family."""
    for family in library.families if families is None else families:
        if not library.variants_of(family):
            continue
        yield from (Task(family, job) for job in library.jobs)
        own = (each.id for each in library.procedures.values() if not each.shared and each.id not in besides)
        yield from (Task(family, "", name) for name in own)


def run_parted(
    library: Library,
    family: str,
    job: str,
    limit: LiftLimit = LiftLimit(),
    planner: Planner | None = None,
    procedure: str = "",
    beyond: list[MachinesError] | None = None,
) -> tuple[Run, ...]:
    """A job, or where it has no name a procedure alone: at once if that can be, else in areas.

    What even then is too much is put into `beyond`, or raised where nobody asks for it.
    """
    try:
        alone = run_procedure(library, family, procedure, limit, planner) if not job else None
        return (alone or run_job(library, family, job, limit, planner),)
    except TooMany as error:
        if isinstance(error, Coupled):
            raise
    runs, errors = run_in_areas(library, family, job, limit, planner, procedure)
    if beyond is None and errors:
        raise errors[0]
    if beyond is not None:
        beyond += errors
    return runs


def run_in_areas(
    library: Library,
    family: str,
    job: str,
    limit: LiftLimit = LiftLimit(),
    planner: Planner | None = None,
    procedure: str = "",
    enough: int | None = ENOUGH,
) -> tuple[tuple[Run, ...], tuple[Coupled, ...]]:
    """A run for each area of a job (of a procedure alone), and why some of it cannot be run."""
    record = library.jobs[job] if job else None
    programs = expand_job(library, job) if record else (expand(library, procedure),)
    index, anatomy = _index(library, family), anatomy_of(library)
    neglected = record is not None and record.start == "neglected"
    areas = Areas(anatomy, index, programs, neglected=neglected, alone=record is None)
    when = record.when if record else None
    whole, beyond = areas.parted(questions(anatomy, (), _when(when), False), enough, cells.LIMIT)
    outcomes = record.outcomes if record else None
    setup = Setup(alone=record is None, outcomes=outcomes, limit=limit, planner=planner)
    runs = tuple(_run_area(library, family, record, areas, area, setup) for area in whole)
    name = f"job '{job}'" if job else f"'{procedure}'"
    return runs, tuple(Coupled(each.cells, cells.LIMIT, name, each.coupling(index)) for each in beyond)


def _run_area(library: Library, family: str, job: Job | None, areas: Areas, area: Area, setup: Setup) -> Run:
    ground = _ground(library, family, area.features)
    machines = _machines(ground, job.when if job else None)
    programs = areas.programs_of(area)
    setup = replace(setup, aims=areas.aims_of(area))
    book, engine, left = _run(ground, programs, machines, areas.neglected, setup, areas.starts_with(area))
    if job:
        _over(ground, book, left, Spot(len(programs), "", job.place))
    trace = _trace(book, engine)
    kept = tuple(each for each in trace.violations if areas.speaks_of(area, each))
    names = job.procedures if job else tuple(program.procedure for program in areas.programs)
    return Run(family, job.id if job else "", names, ground, machines, replace(trace, violations=kept))


def _over(ground: Ground, book: Book, left: Sequence[World], spot: Spot) -> None:
    """The job is over for all that did not stop before."""
    for world in left:
        world = ending.forget(ground, world, frozenset())
        ending.end(ground, book, world, spot, (), handed_over=True)
        handed = world.has("handed", "over")
        if handed:
            book.ends[ending.IN_SERVICE] = book.ends.get(ending.IN_SERVICE, 0) | handed


@lru_cache(maxsize=32)
def _index(library: Library, family: str) -> FamilyIndex:
    return FamilyIndex(family_of(library, family))


def ground_of(
    library: Library, family: str, programs: Sequence[Program], when: Sequence[Condition] = (), neglected: bool = False
) -> Ground:
    """The machines of a family, told apart by all features; by what the programs read where the machines are many."""
    if _size(library, family) <= FEW:
        return _ground(library, family, frozenset(_index(library, family).carrier_of))
    return _ground(library, family, questions(anatomy_of(library), programs, when, neglected))


@lru_cache(maxsize=256)
def _ground(library: Library, family: str, asked: frozenset[str]) -> Ground:
    index = _index(library, family)
    return Ground(anatomy_of(library), Space(index, asked & index.features.keys()))


@lru_cache(maxsize=32)
def _size(library: Library, family: str) -> int:
    index = _index(library, family)
    return size_of(index, frozenset(index.carrier_of))


def _run(
    ground: Ground,
    programs: Sequence[Program],
    machines: int,
    neglected: bool,
    setup: Setup,
    only: frozenset[Subject] | None = None,
) -> tuple[Book, Engine, list[World]]:
    book = Book()
    engine = Engine(ground, book, setup)
    world = start(ground, machines, neglected, book, only)
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
    ground = ground_of(library, family, (program,))
    machines = ground.space.all
    book, engine, _ = _run(ground, (program,), machines, False, Setup(alone=False))
    return Run(family, "", ("",), ground, machines, _trace(book, engine))
