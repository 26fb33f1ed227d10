"""What a run tells: plain values, for rules and pages to say in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from handwheel.procedures.program import Act
from handwheel.procedures.simulate.world import Fact, World
from handwheel.records.places import Place

Subject = tuple[str, str]
"""Kind (plural) and id of what something is about; ("", "") for nothing."""

NOTHING: Subject = ("", "")

Answers = tuple[tuple[str, tuple[str, ...]], ...]
"""Question -> the answers that led there, one of each."""


class ActRef(NamedTuple):
    """One step as it is done in a run."""

    position: int
    """Which procedure of the run it stands in, from 0."""
    procedure: str
    id: str
    """`procedure/step` where it is written."""
    anchor: str
    place: Place
    mirrored: bool = False


class Cause(NamedTuple):
    """What brought a fact about, or ended it."""

    fact: Fact
    holds: bool
    """False: what ended it."""
    machines: int
    act: ActRef | None
    """None: it was so at the start."""
    through: Subject = NOTHING
    """Fastener, part, setting or agent through which the step did it."""


@dataclass(frozen=True)
class Violation:
    """Something that must not happen, with the machines on which it does."""

    code: str
    act: ActRef | None
    """The step; None where it is no single step (alternatives, an aim, the end)."""
    position: int
    procedure: str
    place: Place
    subject: Subject
    about: Subject
    """The other thing that it is about: what is in the way, what harms."""
    machines: int
    answers: Answers
    causes: tuple[Cause, ...]


class Derived(NamedTuple):
    """Something that a step does besides what its author wrote, with the machines on which it does."""

    kind: str
    subject: Subject
    through: Subject
    detail: str
    machines: int


@dataclass(frozen=True)
class Needed:
    """Something that a procedure read alone takes for granted: "before you start"."""

    fact: Fact
    holds: bool
    machines: int
    act: ActRef | None
    """The step that first needs it; None where a condition does."""
    place: Place


class Extent(NamedTuple):
    """Of which machines something is so: with some answers at least, and whatever the answers."""

    some: int
    always: int


class State(NamedTuple):
    """What is so at one moment, for the machines that come there."""

    worlds: tuple[World, ...]

    @property
    def machines(self) -> int:
        """All machines that come there."""
        found = 0
        for world in self.worlds:
            found |= world.machines
        return found

    def of(self, *kinds: str) -> Mapping[str, Extent]:
        """Subject -> extent of the facts of these kinds: `of("off")`, `of("loose", "out")`."""
        found: dict[str, Extent] = {}
        for kind, subject in dict.fromkeys(fact for world in self.worlds for fact in world.facts):
            if kind in kinds and subject not in found:
                extent = self.extent(kinds, subject)
                if extent.some:
                    found[subject] = extent
        return found

    def extent(self, kinds: tuple[str, ...], subject: str) -> Extent:
        """Of which machines a fact of these kinds is so."""
        some = other = 0
        for world in self.worlds:
            here = 0
            for kind in kinds:
                here |= world.has(kind, subject)
            some |= here
            other |= world.machines & ~here
        return Extent(some, some & ~other)


class Done(NamedTuple):
    """A step in a run: who does it, what it does besides what is written, the state before and after."""

    ref: ActRef
    act: Act
    machines: int
    derived: tuple[Derived, ...]
    before: State
    after: State


@dataclass(frozen=True)
class Summary:
    """A procedure in a run."""

    position: int
    procedure: str
    machines: int
    """Machines that have it and come there."""
    leaves: State
    """What it leaves open for the next."""
    effects: int
    """Steps with effects."""
    steps: int
    """Steps in all. With no effects at all, the procedure is not simulated."""


@dataclass(frozen=True)
class Planned:
    """How parts are reached at one place, and the machines on which they are reached so."""

    position: int
    anchor: str
    """Of the place, within its procedure."""
    parts: tuple[str, ...]
    first: tuple[Act, ...]
    back: tuple[Act, ...]
    proven: bool
    """Whether no shorter way was left untried."""
    machines: int


@dataclass(frozen=True)
class Trace:
    """All that a run tells, but for its space of machines."""

    violations: tuple[Violation, ...] = ()
    done: tuple[Done, ...] = ()
    needed: tuple[Needed, ...] = ()
    """What is taken for granted; only where a procedure is run alone."""
    summaries: tuple[Summary, ...] = ()
    ends: Mapping[str, int] = field(default_factory=dict)
    """Outcome -> machines that can end in it; `in-service` for those handed over."""
    planned: tuple[Planned, ...] = ()
    """How parts are reached inside procedures."""

    def at(self, position: int, anchor: str) -> Done | None:
        """A step by the position of its procedure and its anchor."""
        return next((each for each in self.done if (each.ref.position, each.ref.anchor) == (position, anchor)), None)

    def of_code(self, code: str) -> Iterator[Violation]:
        """Violations of one code."""
        return (each for each in self.violations if each.code == code)
