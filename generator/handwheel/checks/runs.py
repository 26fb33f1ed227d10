"""What the simulated runs tell, made ready for rules: one value for each thing that goes wrong in some job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from handwheel.checks.finding import Finding, Spots
from handwheel.checks.machines import Machines
from handwheel.checks.report import Extent
from handwheel.machines.coupling import count_machines
from handwheel.machines.describe import few_of
from handwheel.machines.errors import MachinesError, TooMany
from handwheel.procedures.simulate.ground import asked_states
from handwheel.procedures.simulate.run import Run, run_all
from handwheel.procedures.simulate.trace import Cause, Subject, Violation
from handwheel.procedures.wording import joined, name_of, state_words
from handwheel.records.kinds import KINDS
from handwheel.records.library import Library

_BROUGHT = {
    "off": "taken off", "out": "undone", "loose": "loosened", "lost": "lost", "dry": "washed dry", "live": "made live",
    "stale": "worn out", "marked": "marked", "taken": "taken in", "washed": "washed", "gummed": "gummed",
}  # fmt: skip
_ENDED = {
    "off": "put back", "out": "tightened", "loose": "tightened", "lost": "set", "dry": "oiled", "live": "isolated",
    "stale": "proven", "marked": "mark lost", "taken": "given back",
}  # fmt: skip


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
        jobs = f", in {'job' if len(self.jobs) == 1 else 'jobs'} {joined(map(repr, self.jobs))}" if self.jobs else ""
        return Finding(
            place=self.violation.place,
            subject=act.id if act else f"procedures/{self.violation.procedure}",
            what=f"{what}{jobs}",
            right=right,
            machines=self.machines,
            chain=self.chain,
            families=(self.family,),
            cause=self._cause() if joint else "",
        )

    def _said(self, cause: Cause) -> str:
        kind, subject = cause.fact
        words = (_BROUGHT if cause.holds else _ENDED).get(kind, kind)
        through = f", through {named(self.library, cause.through)}" if cause.through[1] else ""
        step = cause.act.id if cause.act else "the start"
        return f"{subject} {words} by {step}{through}"

    def _cause(self) -> str:
        acts = [cause.act.procedure for cause in self.violation.causes if cause.act]
        return f"{self.code}:{acts[0]}:{self.jobs}" if acts else ""


def named(library: Library, subject: Subject) -> str:
    """A subject in words; a state is named with its question."""
    plural, identifier = subject
    if plural in KINDS and identifier in library.of(plural):
        return f"'{name_of(library.of(plural)[identifier], plural)}'"
    return f"'{identifier}'" if identifier else ""


class Runs:
    """Every job, and every procedure that is part of none, run on all machines that can stand here."""

    def __init__(self, library: Library, machines: Machines) -> None:
        self.library = library
        self._machines = machines

    @cached_property
    def all(self) -> tuple[Run, ...]:
        """The runs."""
        found: list[Run] = []
        for family in self._machines.families if not self._machines.faults else ():
            beyond: list[MachinesError] = []
            try:
                found += run_all(self.library, besides=self._in_jobs, families=(family,), beyond=beyond)
            except MachinesError as error:
                beyond.append(error)
            for each in beyond:  # told of by the rules on machines
                self._machines.beyond[family, frozenset((str(each),))] = each
        return tuple(found)

    @cached_property
    def extents(self) -> tuple[Extent, ...]:
        """How many machines of each family the runs speak of, and in how many areas the most divided run was made."""
        areas: dict[str, int] = {}
        for (family, *_), count in Counter((run.family, run.job, run.procedures) for run in self.all).items():
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
                yield Told(self.library, violation, jobs, self._words(run, violation), family)

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
        words = self._machines.words(run.space, violation.machines, run.machines)
        every = asked_states(self.library, self._machines.index(run.family))
        answers = (self._answer(q, states, every.get(q, ())) for q, states in violation.answers)
        return "; ".join(part for part in (words, *answers) if part)

    def _answer(self, question: str, states: Sequence[str], every: Sequence[str]) -> str:
        """The answers that lead there, told by the few that do not where these are fewer; nothing where all do."""
        if every and set(states) >= set(every):
            return ""
        other, few = few_of(states, every)
        said = joined((state_words(self.library, question, each) for each in few), "or")
        return f"{question.replace('-', ' ')}: {'other than ' if other else ''}{said}"
