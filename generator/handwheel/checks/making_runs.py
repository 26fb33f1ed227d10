"""Runs made for rules: here, or by a second process that then says of which of them there is nothing to tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from handwheel.checks.meeting import late_in
from handwheel.checks.second_process import SecondProcess
from handwheel.machines.errors import MachinesError
from handwheel.procedures.simulate.run import Run, Task, run_parted
from handwheel.records.library import Library

Head = tuple[str, str, tuple[str, ...]]
"""Family, job and procedures of a run."""


@dataclass(frozen=True)
class Made:
    """What came of one job, or of one procedure alone."""

    heads: tuple[Head, ...]
    """Of every run, also of those that a second process made."""
    runs: tuple[Run, ...] = ()
    beyond: tuple[MachinesError, ...] = ()
    """Why some of it cannot be run."""
    refused: bool = False
    """Whether nothing can be told of the family."""


def made(library: Library, task: Task) -> Made:
    """Make the runs of one job, or of one procedure alone."""
    beyond: list[MachinesError] = []
    try:
        runs = run_parted(library, *task[:2], procedure=task.procedure, beyond=beyond)
    except MachinesError as error:
        return Made((), beyond=(*beyond, error), refused=True)
    runs = tuple(run for run in runs if run.has_machines)
    return Made(tuple((run.family, run.job, run.procedures) for run in runs), runs, tuple(beyond))


def heads_if_clean(library: Library, one: Made) -> tuple[Head, ...] | None:
    """The heads of the runs if no rule can have anything to tell of them; else they are to be made where rules look."""
    if one.beyond or any(run.trace.violations or any(True for _ in late_in(library, run)) for run in one.runs):
        return None
    return one.heads


def longest_first(library: Library, tasks: Sequence[Task]) -> list[int]:
    """Numbers of the tasks, the longest first, so that two processes end at about the same time."""
    steps = {job.id: len(job.procedures) for job in library.jobs.values()}
    return sorted(range(len(tasks)), key=lambda number: -steps.get(tasks[number].job, 1))


def by_number(library: Library, tasks: Sequence[Task], second: SecondProcess | None) -> tuple[Made, ...]:
    """What came of each task, in their order, whoever made it; nothing after one that was refused in its family."""
    found = {number: made(library, tasks[number]) for number in (second.taken() if second else ())}
    for number, heads in (second.answers() if second else {}).items():
        if heads is not None:
            found[number] = Made(heads)
    refused: set[str] = set()
    every = []
    for number, task in enumerate(tasks):
        one = Made(()) if task.family in refused else found.get(number) or made(library, task)
        refused |= {task.family} if one.refused else set()
        every.append(one)
    return tuple(every)
