"""What rules look at, worked out once and only when a rule asks for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from handwheel.checks.machines import Machines
from handwheel.checks.report import Share
from handwheel.checks.runs import Runs
from handwheel.checks.sites import ForkSite, Site, Written, walk, written
from handwheel.procedures.expand import expand
from handwheel.procedures.program import Program
from handwheel.procedures.prose_check import texts_of
from handwheel.records.kinds import Record
from handwheel.records.library import Library
from handwheel.records.step_records import EFFECTS
from handwheel.records.uses import users
from handwheel.records.values import Text


@dataclass(frozen=True)
class Prose:
    """A text, and the record that it stands in."""

    kind: str
    record: Record
    text: Text

    @property
    def subject(self) -> str:
        """`kind/id`."""
        return f"{self.kind}/{self.record.id}"


class Bench:
    """Facts by name: each rule names as parameters those that it needs.

    `library` is what was read; the others are properties of this class, or facts that were added, such as the outcome
    of simulated runs.
    """

    def __init__(self, library: Library, added: Mapping[str, Any] | None = None) -> None:
        self.library = library
        self._added = dict(added or {})

    def add(self, name: str, fact: Any) -> None:
        """Put a fact on the bench, in the place of one that has the name."""
        self._added[name] = fact

    def fact(self, name: str) -> Any:
        """The fact of that name."""
        return self._added[name] if name in self._added else getattr(self, name)

    def knows(self, names: Iterable[str]) -> bool:
        """Whether all these facts can be had."""
        return all(name in self._added or name == "library" or hasattr(type(self), name) for name in names)

    @cached_property
    def machines(self) -> Machines:
        """Sets of machines, and words for them."""
        return Machines(self.library)

    @cached_property
    def runs(self) -> Runs:
        """What the simulated runs tell."""
        return Runs(self.library, self.machines)

    @cached_property
    def programs(self) -> Mapping[str, Program]:
        """Every procedure, written out."""
        return {name: expand(self.library, name) for name in self.library.procedures}

    @cached_property
    def walked(self) -> tuple[tuple[Site, ...], tuple[ForkSite, ...]]:
        """Every step and every fork of every procedure that is no shared run, as it is met there."""
        found = [walk(program) for name, program in self.programs.items() if not self.library.procedures[name].shared]
        return tuple(s for sites, _ in found for s in sites), tuple(f for _, forks in found for f in forks)

    @cached_property
    def sites(self) -> tuple[Site, ...]:
        """Every step as it is met in some procedure: the same step once for each way that leads to it."""
        return self.walked[0]

    @cached_property
    def forks(self) -> tuple[ForkSite, ...]:
        """Every choice between alternatives, as it is met."""
        return self.walked[1]

    @cached_property
    def steps(self) -> tuple[Written, ...]:
        """Every step as written, once, with the sites that it is met at."""
        return tuple(written(self.library, self.sites))

    @cached_property
    def uses(self) -> Mapping[tuple[str, str], tuple[tuple[str, str], ...]]:
        """Who refers to whom."""
        return users(self.library)

    @cached_property
    def texts(self) -> tuple[Prose, ...]:
        """Every prose text, with the record that it stands in."""
        return tuple(self._texts())

    def _texts(self) -> Iterator[Prose]:
        for kind, record in self.library:
            yield from (Prose(kind, record, text) for text in texts_of(record))

    @cached_property
    def own(self) -> frozenset[str]:
        """The layers that are the shop's own, and not a library that it lays its own over."""
        return frozenset((*tuple(self.library.roots)[-1:], *(("",) if not self.library.roots else ())))

    @cached_property
    def rules(self) -> Mapping[str, Any]:
        """Every rule, by id."""
        from handwheel.checks.registry import rules_by_id  # noqa: PLC0415 - rules need benches

        return rules_by_id()

    @cached_property
    def proven(self) -> Mapping[str, Share]:
        """How much of each procedure a run can prove: a step of words alone does nothing in it."""
        return {
            name: Share(len(program.acts), sum(any(getattr(act.step, e) for e in EFFECTS) for act in program.acts))
            for name, program in self.programs.items()
            if not self.library.procedures[name].shared
        }
