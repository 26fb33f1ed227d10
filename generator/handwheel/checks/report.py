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
        """In words, as nothing was found: `proven on 412,000,000 machines, in 7 areas`."""
        return self.told(0)

    def told(self, findings: int, accepted: int = 0) -> str:
        """In words; with findings of the runs on its machines, nothing is proven."""
        areas = f", in {self.areas} areas" if self.areas > 1 else ""
        machines = f"{self.machines:,} machine{'s' if self.machines != 1 else ''}"
        extent = f"{'' if self.whole else 'in part '}{'run' if findings else 'proven'} on {machines}"
        found = f", and not proven: {findings} finding{'s' if findings > 1 else ''}" if findings else ""
        but = f", but for {accepted} accepted finding{'s' if accepted > 1 else ''}" if accepted else ""
        return f"{extent}{areas}{found}{but}"


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

    @property
    def proofs(self) -> tuple[str, ...]:
        """What is proven of each family, in words: `Skerry: proven on 5,256 machines`; of words alone, nothing is."""
        if self.proven and not self.whole.told:
            return tuple(f"{each.family}: not simulated, words only" for each in self.extents)
        return tuple(f"{each.family}: {each.told(*self.standing(each.family))}" for each in self.extents)

    def standing(self, family: str) -> tuple[int, int]:
        """Findings of simulated runs on the machines of a family: those that stand, and those accepted."""
        stand = sum(family in finding.families for finding in self.findings)
        return stand, sum(family in each.finding.families for each in self.accepted)

    def of(self, subject: str) -> tuple[Finding, ...]:
        """What was found in one record or step."""
        return tuple(finding for finding in self.findings if finding.subject == subject)
