"""What a rule says of a shop: one defect as a value, never a line of a log."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handwheel.procedures.wording import joined
from handwheel.records.places import Place

Level = Literal["error", "warning", "note"]
LEVELS: tuple[Level, ...] = ("error", "warning", "note")
"""Gravest first."""

FEW = 3
"""Jobs up to which a sentence names each."""

Spots = tuple[tuple[Place, str], ...]
"""Places, each with a few words."""


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One defect. The rule says what and where; the runner adds the rule's id and the level that the shop gave it."""

    place: Place
    subject: str
    """What it is found in: `kind/id` of a record, or `procedure/step`."""
    what: str
    """What is wrong, the value quoted; no full stop."""
    right: str = ""
    """One way out."""
    machines: str = ""
    """The machines that it concerns, named by as few forms as can be; empty: all that have the subject."""
    chain: Spots = ()
    """How it comes about, first cause first."""
    related: Spots = ()
    """Other places that belong to it."""
    families: tuple[str, ...] = ()
    """Names of the families on whose machines a simulated run meets it; empty where no run does."""
    jobs: tuple[str, ...] = ()
    """Jobs in which a simulated run meets it."""
    thing: str = ""
    """What it is about, `kind/id`, where a simulated run tells it."""
    others: int = 0
    """How many more of the same cause are told with it, among `related`."""
    cause: str = ""
    """Findings of one rule with the same cause are told as one."""
    rule: str = ""
    level: Level = "note"

    @property
    def rank(self) -> tuple[Place, str, str, str, str]:
        """Sorts findings by place, in the same order in every run."""
        return self.place, self.rule, self.subject, self.what, self.machines

    @property
    def sentence(self) -> str:
        """What is wrong, in which jobs, and on which machines."""
        jobs = f", in {self._in_jobs()}" if self.jobs else ""
        more = f" ({self.others} more of the same cause)" if self.others else ""
        on = "" if self.machines.startswith(("on ", "with ")) else "on "
        return f"{self.what}{jobs}{more}" + (f", {on}{self.machines}" if self.machines else "")

    def _in_jobs(self) -> str:
        if len(self.jobs) > FEW:
            return f"{len(self.jobs)} jobs, '{self.jobs[0]}' the first"
        return f"{'job' if len(self.jobs) == 1 else 'jobs'} {joined(map(repr, self.jobs))}"
