"""The rules in the order in which they are likeliest to tell soonest, on what a mistake can change alone.

A finding of any rule is a catch, so the rules that need no runs look first, then those on runs, job by job, the
shortest first, and only at jobs with a procedure that is otherwise. Where none of them tells, all is judged as ever.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from work_told import plain

from handwheel.checks.bench import Bench
from handwheel.checks.finding import Finding
from handwheel.checks.making_runs import longest_first
from handwheel.checks.registry import all_rules
from handwheel.checks.runner import AFTER_RUNS, LAST, judge
from handwheel.checks.runs import Runs
from handwheel.procedures.expand import expand
from handwheel.procedures.simulate.run import Task, tasks
from handwheel.records.library import Library

_WITHOUT = [rule for rule in all_rules() if not {"runs", LAST} & set(rule.needs) and rule.id not in AFTER_RUNS]
_ON_RUNS = [rule for rule in all_rules() if "runs" in rule.needs]


class _Chosen(Runs):
    """Some of the runs."""

    chosen: tuple[Task, ...] = ()

    @property
    def _tasks(self) -> tuple[Task, ...]:  # type: ignore[override]
        return self.chosen


def findings(library: Library, sound: Library) -> Sequence[Finding]:
    """What the rules tell soonest, or all that they tell."""
    bench = Bench(library)
    if found := judge(bench, _WITHOUT).findings:
        return found
    if not bench.machines.faults:
        for task in _touched(library, sound):
            bench.runs = _Chosen(library, bench.machines)
            bench.runs.chosen = (task,)
            if found := judge(bench, _ON_RUNS).findings:
                return found
    return judge(Bench(library), all_rules()).findings


def _touched(library: Library, sound: Library) -> Iterator[Task]:
    """Jobs, and procedures that are part of none, with another procedure than in the sound shop; the shortest first."""
    otherwise = {name for name in library.procedures if _told(library, name) != _told(sound, name)}
    in_jobs = {name for job in library.jobs.values() for name in job.procedures}
    every = tuple(tasks(library, in_jobs))
    for number in reversed(longest_first(library, every)):
        job = library.jobs.get(every[number].job)
        if otherwise & set(job.procedures if job else (every[number].procedure,)):
            yield every[number]


def _told(library: Library, name: str) -> object:
    return plain((library.procedures[name], expand(library, name))) if name in library.procedures else None
