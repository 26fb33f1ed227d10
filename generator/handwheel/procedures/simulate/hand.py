"""One step on the machines of one world: what its effects look at, change and tell."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from handwheel.procedures.simulate.anatomy import Anatomy, Blocker
from handwheel.procedures.simulate.book import Book, Spot
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.trace import NOTHING, ActRef, Subject
from handwheel.procedures.simulate.world import Fact, World
from handwheel.records.library import Library
from handwheel.records.step_records import Step

Reply = tuple[str, str | None, int]
"""Question, its new answer (None: asked, and not yet split) and the machines on which it gets it."""

FORGET = ""
"""Instead of an answer: it is open again, and was not asked."""


@dataclass(frozen=True)
class Kit:
    """What is the same for all steps of a run."""

    alone: bool
    """Whether a procedure is run by itself, so that what it needs is taken for granted."""
    take_off: Callable[[Hand, str, int], None]
    """How a part comes off with all that holds it."""


class Hand:
    """The working copy of a world while one step is done on all its machines."""

    def __init__(self, ground: Ground, book: Book, world: World, spot: Spot, step: Step, kit: Kit) -> None:
        self.ground = ground
        self.anatomy: Anatomy = ground.anatomy
        self.library: Library = ground.library
        self.book = book
        self.world = world
        self.machines = world.machines
        self.spot = spot
        self.step = step
        self.alone = kit.alone
        self.take_off = kit.take_off
        self.facts: dict[Fact, int] = dict(world.facts)
        self.replies: list[Reply] = []
        self.changes: list[tuple[str, str, int]] = []
        """Feature, its new form, and the machines on which work gives it."""
        self.reached: frozenset[str] = frozenset()
        """Parts that are reached without saying how."""
        self.quiet = False
        """Whether what is done is taken for granted, and told to nobody."""

    @property
    def ref(self) -> ActRef:
        """The step."""
        assert self.spot.act is not None
        return self.spot.act

    # ----------------------------------------------------------------------------------- facts

    def has(self, kind: str, subject: str) -> int:
        """Machines of which a fact holds."""
        return self.facts.get((kind, subject), 0) & self.machines

    def put(self, kind: str, subject: str, machines: int, through: Subject = NOTHING) -> int:
        """Let a fact begin; gives the machines on which it had not held."""
        fact = (kind, subject)
        before = self.facts.get(fact, 0)
        new = machines & ~before
        if new:
            self.facts[fact] = before | new
            self.book.note(fact, True, new, None if self.quiet else self.ref, through, self.world.trail)
        self._touch(fact, machines)
        return new

    def end(self, kind: str, subject: str, machines: int, through: Subject = NOTHING) -> int:
        """Let a fact end; gives the machines on which it had held."""
        fact = (kind, subject)
        before = self.facts.get(fact, 0)
        gone = machines & before
        if gone:
            self.facts[fact] = before & ~gone
            self.book.note(fact, False, gone, None if self.quiet else self.ref, through, self.world.trail)
        self._touch(fact, machines)
        return gone

    def require(self, kind: str, subject: str, holds: bool, machines: int) -> int:
        """Machines on which a fact is not as it must be.

        Where a procedure is run alone, a fact that nothing before has met is taken to be as
        it must be, and noted.
        """
        fact = (kind, subject)
        now = self.facts.get(fact, 0)
        wrong = machines & (~now if holds else now)
        if not self.alone or self.quiet:
            return wrong
        granted = wrong & ~self.facts.get(_touched(fact), 0)
        self._touch(fact, machines)
        if granted:
            self.book.need(fact, holds, granted, self.spot)
            self.grant(fact, holds, granted)
        return wrong & ~granted

    def grant(self, fact: Fact, holds: bool, machines: int) -> None:
        """Let a fact be as a procedure run alone needs it; a part was taken off with all that this means."""
        if fact[0] == "off" and holds:
            self.quiet = True
            self.take_off(self, fact[1], machines)
            self.quiet = False
            return
        self.facts[fact] = self.facts.get(fact, 0) | machines if holds else self.facts.get(fact, 0) & ~machines

    def _touch(self, fact: Fact, machines: int) -> None:
        if self.alone:
            known = _touched(fact)
            self.facts[known] = self.facts.get(known, 0) | machines

    # --------------------------------------------------------------------------------- telling

    def tell(
        self,
        code: str,
        subject: Subject,
        machines: int,
        about: Subject = NOTHING,
        because: Iterable[tuple[Fact, bool]] = (),
    ) -> None:
        """Something that must not happen."""
        if machines and not self.quiet:
            self.book.tell(code, self.spot, subject, machines, self.world, about, because)

    def derive(self, kind: str, subject: Subject, machines: int, through: Subject = NOTHING, detail: str = "") -> None:
        """Something that the step does besides what is written."""
        if machines and not self.quiet:
            self.book.derive(self.ref, kind, subject, machines, through, detail)

    def there(self, plural: str, identifier: str, machines: int, exists: int) -> int:
        """The machines that have the thing; the others are told."""
        self.tell("not-on-this-machine", (plural, identifier), machines & ~exists)
        return machines & exists

    # ------------------------------------------------------------------------------- the machine

    def part(self, part: str) -> int:
        """Machines that have the part."""
        return self.ground.part(part, self.world)

    def fastener(self, fastener: str) -> int:
        """Machines that have the fastener."""
        return self.ground.fastener(fastener, self.world)

    def setting(self, setting: str) -> int:
        """Machines that have the setting."""
        return self.ground.setting(setting, self.world)

    def point(self, point: str) -> int:
        """Machines that have the oiling point."""
        return self.ground.point(point, self.world)

    def hanging(self, parts: Iterable[str]) -> int:
        """Machines on which none of the parts is off."""
        here = self.machines
        for part in parts:
            here &= ~self.facts.get(("off", part), 0)
        return here

    def fitted(self, part: str) -> int:
        """Machines that have the part on them, not in an assembly on the bench."""
        return self.part(part) & self.hanging((part, *self.anatomy.carriers[part]))

    def below(self, part: str) -> dict[str, int]:
        """Parts that come along with it now -> machines on which they do."""
        found: dict[str, int] = {}
        self._below(part, self.machines, found)
        return found

    def _below(self, part: str, here: int, found: dict[str, int]) -> None:
        for child in self.anatomy.children.get(part, ()):
            along = here & self.part(child) & ~self.facts.get(("off", child), 0)
            if along:
                found[child] = along
                self._below(child, along, found)

    def blocked(self, subject: Subject, blockers: Iterable[Blocker], machines: int) -> None:
        """Tell where something stands in front of what is reached for."""
        for blocker in () if self.quiet or subject[1] in self.reached else blockers:
            here = machines & self.part(blocker.part) & self.hanging(blocker.hung)
            others = machines & ~here
            self._met_off(blocker.part, others)
            if here:
                here = self.require("off", blocker.part, True, here)
                on = (("off", blocker.part), False)
                self.tell("behind", subject, here, ("parts", blocker.part), (on,))

    def _met_off(self, part: str, machines: int) -> None:
        """Run alone: what was off already was so before the step relied on it."""
        if self.alone:
            off = machines & self.facts.get(("off", part), 0)
            if off:
                self._touch(("off", part), off)


def _touched(fact: Fact) -> Fact:
    return "touched", " ".join(fact)
