"""The outcome of a run of all rules."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

from handwheel.checks.finding import Finding, Level
from handwheel.records.work_records import Accepted


@dataclass(frozen=True)
class Share:
    """How much of a procedure is proven: steps in all, and steps whose effects are told so that they can be run."""

    steps: int
    told: int

    def __add__(self, other: Share) -> Share:
        return Share(self.steps + other.steps, self.told + other.told)

    @property
    def part(self) -> float:
        """From 0, words only, to 1."""
        return self.told / self.steps if self.steps else 0.0


@dataclass(frozen=True)
class Extent:
    """The machines of a family that every job was run on."""

    family: str
    """Its name."""
    machines: int
    """Those that can stand here."""
    areas: int = 1
    """Areas in which the most divided run was made, where the machines are too many to be told apart at once."""
    whole: bool = True
    """Whether nothing was too much even for areas."""

    @property
    def words(self) -> str:
        """In words: `proven on 412,000,000 machines, in 7 areas`."""
        areas = f", in {self.areas} areas" if self.areas > 1 else ""
        return f"{'proven' if self.whole else 'in part proven'} on {self.machines:,} machines{areas}"


@dataclass(frozen=True)
class Acceptance:
    """A finding that the shop accepts, and where it says why."""

    finding: Finding
    record: Accepted


@dataclass(frozen=True)
class Report:
    """All that was found, and what was not looked at."""

    findings: tuple[Finding, ...] = ()
    """By place; those of one cause are one."""
    accepted: tuple[Acceptance, ...] = ()
    """By place of the finding."""
    proven: Mapping[str, Share] = field(default_factory=dict)
    """By procedure."""
    extents: tuple[Extent, ...] = ()
    """By family; empty where no rule looked at runs."""
    judged: tuple[str, ...] = ()
    """Rules that were run."""
    off: tuple[str, ...] = ()
    """Rules that the shop turned off."""
    unjudged: tuple[str, ...] = ()
    """Rules that need facts that this run did not have."""
    stopping: frozenset[str] = frozenset()
    """Rules a finding of which stops publishing."""

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that stop publishing; none: it may go out, with its findings counted."""
        return tuple(finding for finding in self.findings if finding.rule in self.stopping)

    @property
    def counts(self) -> Mapping[Level, int]:
        """How many findings there are of each level."""
        return Counter(finding.level for finding in self.findings)

    @property
    def by_rule(self) -> Mapping[str, int]:
        """How many findings each rule has that has any."""
        return Counter(finding.rule for finding in self.findings)

    @property
    def whole(self) -> Share:
        """The share proven over all procedures."""
        return sum(self.proven.values(), Share(0, 0))

    def of(self, subject: str) -> tuple[Finding, ...]:
        """What was found in one record or step."""
        return tuple(finding for finding in self.findings if finding.subject == subject)
