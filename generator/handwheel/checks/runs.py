"""What the simulated runs tell, made ready for rules: one value for each thing that goes wrong in some job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property

from handwheel.checks.finding import Finding, Spots
from handwheel.checks.machines import Machines
from handwheel.checks.making_runs import Head, Made, by_number, heads_if_clean, longest_first, made
from handwheel.checks.report import Extent
from handwheel.checks.second_process import SecondProcess, second_process
from handwheel.machines.coupling import count_machines
from handwheel.machines.describe import few_of
from handwheel.machines.errors import TooMany
from handwheel.procedures.reach import setters
from handwheel.procedures.simulate.ground import asked_states
from handwheel.procedures.simulate.run import Run, Task, tasks
from handwheel.procedures.simulate.trace import ActRef, Cause, Subject, Violation
from handwheel.procedures.simulate.world import World
from handwheel.procedures.wording import joined, name_of, state_words
from handwheel.records.kinds import KINDS
from handwheel.records.library import Library

_BROUGHT = {
    "off": "taken off", "out": "undone", "loose": "loosened", "lost": "lost", "dry": "washed dry", "live": "made live",
    "stale": "worn out", "marked": "marked", "taken": "taken in", "washed": "washed", "gummed": "gummed",
    "wet": "wetted", "handed": "handed over", "asked": "answered",
}  # fmt: skip
_ENDED = {
    "off": "put back", "out": "tightened", "loose": "tightened", "lost": "set", "dry": "oiled", "live": "isolated",
    "stale": "proven", "marked": "mark lost", "taken": "given back",
}  # fmt: skip

_IN_THE_WAY = frozenset(("behind", "set-too-early", "tested-too-early", "no-removal"))
"""Ways of going wrong whose cause is the other thing: what is in front, or not ready."""


@dataclass(frozen=True)
class Told:
    """One violation, with every job in which it happens."""

    library: Library
    violation: Violation
    jobs: tuple[str, ...]
    """Empty where it happens in a procedure that is part of no job."""
    machines: str
    family: str
    """Name of the family on whose machines it happens."""
    began: str = ""
    """Procedure in which the same began in some job."""

    @property
    def code(self) -> str:
        """What goes wrong."""
        return self.violation.code

    @property
    def subject(self) -> str:
        """Name of what it is about."""
        return named(self.library, self.violation.subject)

    @property
    def about(self) -> str:
        """Name of the other thing that it is about."""
        return named(self.library, self.violation.about)

    @property
    def set_by(self) -> tuple[str, ...]:
        """Procedures that have a step which sets it, where it is about a setting."""
        plural, identifier = self.violation.subject
        return tuple(sorted(setters(self.library).get(identifier, ()))) if plural == "settings" else ()

    @property
    def chain(self) -> Spots:
        """How it came about: each cause with the step and what it went through."""
        return tuple((cause.act.place, self._said(cause)) for cause in self.violation.causes if cause.act)

    def finding(self, what: str, right: str, *, joint: bool = False) -> Finding:
        """The violation as a finding.

        Args:
            what: What is wrong, no full stop.
            right: One way out.
            joint: Whether findings with the same first cause are told as one.
        """
        act = self.violation.act
        return Finding(
            place=self.violation.place,
            subject=self._where(),
            what=what + (_within(act) if act else ""),
            right=right,
            machines=self.machines,
            chain=self.chain,
            families=(self.family,),
            jobs=self.jobs,
            thing="/".join(self.violation.subject),
            cause=self._cause() if joint else "",
        )

    def _said(self, cause: Cause) -> str:
        kind, subject = cause.fact
        words = (_BROUGHT if cause.holds else _ENDED).get(kind, kind)
        through = f", through {named(self.library, cause.through)}" if cause.through[1] else ""
        step = f"{cause.act.id}{_within(cause.act)}" if cause.act else "the start"
        return f"{'the machine' if kind == 'handed' else subject} {words} by {step}{through}"

    def _where(self) -> str:
        """The step; where it is none, the procedure whose aim it is, or the job at whose end it shows."""
        told = self.violation
        if told.act:
            return told.act.id
        return f"procedures/{told.procedure}" if told.procedure else f"jobs/{self.jobs[0]}"

    def _cause(self) -> str:
        """One for all that goes wrong in this way through one procedure, or by how the machine came in."""
        told = self.violation
        since = [cause.fact for cause in told.causes]
        thing = told.about if self.code in _IN_THE_WAY and told.about[1] else told.subject
        return f"{self.code}:{self.began or (since[0] if since else thing)}"


def named(library: Library, subject: Subject) -> str:
    """A subject in words; a state is named with its question."""
    plural, identifier = subject
    if plural in KINDS and identifier in library.of(plural):
        return f"'{name_of(library.of(plural)[identifier], plural)}'"
    return f"'{identifier}'" if identifier else ""


def _within(act: ActRef) -> str:
    """Where a step is done, if not where it is written."""
    if act.procedure == act.id.partition("/")[0]:
        return ""
    return f", {'backwards ' if act.mirrored else ''}in '{act.procedure}'"


class Runs:
    """Every job, and every procedure that is part of none, run on all machines that can stand here."""

    def __init__(self, library: Library, machines: Machines) -> None:
        self.library = library
        self._machines = machines
        self._second: SecondProcess | None = None

    @contextmanager
    def shared(self) -> Iterator[None]:
        """Meanwhile a second process may make some of the runs; those in which nothing goes wrong are then not here."""
        self._second = second_process(longest_first(self.library, self._tasks), self._told_of)
        try:
            yield
        finally:
            if self._second:
                self._second.close()
            self._second = None

    def _told_of(self, number: int) -> tuple[Head, ...] | None:
        return heads_if_clean(self.library, made(self.library, self._tasks[number]))

    @cached_property
    def _tasks(self) -> tuple[Task, ...]:
        families = self._machines.families if not self._machines.faults else ()
        return tuple(tasks(self.library, self._in_jobs, families))

    @cached_property
    def all(self) -> tuple[Run, ...]:
        """The runs, but for those that a second process made and that have nothing to tell."""
        return tuple(run for each in self._made for run in each.runs)

    @cached_property
    def _made(self) -> tuple[Made, ...]:
        """What came of each job and procedure; of none of a family where one of them was refused."""
        found = by_number(self.library, self._tasks, self._second)
        for task, each in zip(self._tasks, found, strict=True):
            for error in each.beyond:  # told of by the rules on machines
                self._machines.beyond[task.family, frozenset((str(error),))] = error
        refused = {task.family for task, each in zip(self._tasks, found, strict=True) if each.refused}
        return tuple(each for task, each in zip(self._tasks, found, strict=True) if task.family not in refused)

    @cached_property
    def extents(self) -> tuple[Extent, ...]:
        """How many machines of each family the runs speak of, and in how many areas the most divided run was made."""
        areas: dict[str, int] = {}
        for (family, *_), count in Counter(head for each in self._made for head in each.heads).items():
            areas[family] = max(areas.get(family, 1), count)
        return tuple(self._extent(family, count) for family, count in areas.items())

    def _extent(self, family: str, areas: int) -> Extent:
        name = self.library.families[family].name
        whole = not any(
            each == family and isinstance(error, TooMany) for (each, _), error in self._machines.beyond.items()
        )
        try:
            return Extent(name, count_machines(self._machines.index(family).family), areas, whole)
        except TooMany as error:
            return Extent(name, error.count, areas, whole=False)

    @cached_property
    def _in_jobs(self) -> frozenset[str]:
        """Procedures that some job has; what goes wrong in them is told there."""
        return frozenset(name for job in self.library.jobs.values() for name in job.procedures)

    def told(self, *codes: str) -> Iterator[Told]:
        """What goes wrong in one of these ways, in the order of the runs; the same in several jobs is one."""
        for (code, *_), found in self._grouped.items():
            if code in codes:
                run, violation = found[0]
                jobs = tuple(dict.fromkeys(each.job for each, _ in found if each.job))
                family = self.library.families[run.family].name
                began = self._began.get((violation.code, violation.subject), "")
                yield Told(self.library, violation, jobs, self._words(run, violation), family, began)

    @cached_property
    def _began(self) -> dict[tuple[str, Subject], str]:
        """What goes wrong with a thing -> the procedure that began it in some run; in another it came in so."""
        found: dict[tuple[str, Subject], str] = {}
        for run in self.all:
            for each in run.trace.violations:
                for act in [cause.act for cause in each.causes if cause.act][:1]:
                    found.setdefault((each.code, each.subject), act.procedure)
        return found

    @cached_property
    def _grouped(self) -> dict[tuple[object, ...], list[tuple[Run, Violation]]]:
        found: dict[tuple[object, ...], list[tuple[Run, Violation]]] = {}
        for run in self.all:
            for each in run.trace.violations:
                place = each.act.id if each.act else each.procedure
                key = (each.code, run.family, place, each.subject, each.about, each.place)
                found.setdefault(key, []).append((run, each))
        return found

    def _words(self, run: Run, violation: Violation) -> str:
        """Machines and answers, told apart from the others that come to the same place."""
        come, worlds = _come(run, violation)
        words = self._machines.words(run.space, violation.machines, come)
        every = asked_states(self.library, self._machines.index(run.family))
        answers = (self._answer(q, states, every.get(q, ()), _may_be(q, worlds)) for q, states in violation.answers)
        told = ", ".join(part for part in answers if part)
        return "; ".join(part for part in (words, f"with {told}" if told else "") if part)

    def _answer(self, question: str, states: Sequence[str], every: Sequence[str], come: frozenset[str]) -> str:
        """The answers that lead there, told by the few that do not where these are fewer; nothing where all do."""
        if every and set(states) >= (come or set(every)):
            return ""
        other, few = few_of(states, every)
        said = joined((state_words(self.library, question, each) for each in few), "or")
        return f"{question.replace('-', ' ')}: {'other than ' if other else ''}{said}"


def _come(run: Run, violation: Violation) -> tuple[int, Sequence[World]]:
    """The machines that come where it happens, and how they stand there, as far as that is known."""
    trace, act = run.trace, violation.act
    if act:
        done = trace.at(act.position, act.anchor)
        return (done.machines, done.before.worlds) if done else (run.machines, ())
    there = [each for each in trace.summaries if each.position == violation.position and violation.procedure]
    if there:
        return there[0].machines, there[0].leaves.worlds
    return run.machines, trace.summaries[-1].leaves.worlds if trace.summaries else ()


def _may_be(question: str, worlds: Sequence[World]) -> frozenset[str]:
    """The answers with which machines come; none where some come without any, and so with all."""
    told = [world.trail.get(question) for world in worlds]
    return frozenset[str]().union(*(each for each in told if each)) if all(told) else frozenset()
