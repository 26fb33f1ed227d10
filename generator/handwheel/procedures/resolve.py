"""Procedures for one machine: a named variant as built, or any machine as found, by the same code.

What looking can tell is settled, or stands there with the look that settles it. What a
step asks (findings, choices, readings) stays as alternatives with their states in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.family import FamilyIndex
from handwheel.machines.machine import Known
from handwheel.machines.masks import VARIANT
from handwheel.machines.questions import Family
from handwheel.machines.reduce import said_once
from handwheel.machines.space import Space
from handwheel.machines.truth import Contradiction, Truth, clash
from handwheel.procedures import holding
from handwheel.procedures.changes import changes_before
from handwheel.procedures.judge import UNCHANGED, Ground, Judge, Verdict
from handwheel.procedures.laid_open import laid_open
from handwheel.procedures.resolved import Reason, Resolved, ResolvedItem
from handwheel.procedures.wording import condition_words, name_of
from handwheel.procedures.writer import ASKED_KINDS, Answers, AsBuilt, Field, Machine, Writer
from handwheel.records.families import family_as_built, family_of
from handwheel.records.library import Library

__all__ = ["Answers", "AsBuilt", "Holding", "Known", "Machine", "Resolver", "resolve"]


@dataclass(frozen=True)
class Holding:
    """For which machines a step holds."""

    mask: int
    """Machines of the family that can stand here on which it may hold, in `space`."""
    space: Space
    condition: Condition
    variants: Mapping[str, bool]
    """Variants that have it as built, in order; true: all machines of the variant, false: some."""


def resolve(
    library: Library, family: str | Family | Space, known: Machine, procedure: str, answers: Answers | None = None
) -> Resolved:
    """The procedure for the machine. For many pages make one `Resolver` and keep it."""
    return Resolver(library, family).resolve(procedure, known, answers)


class Resolver:
    """Resolves procedures for one family; keeps what many machines share.

    Args:
        library: The linked library.
        family: Id of the family; or a family or a space of one's own making, which must
            then keep every question that is put to it.
    """

    def __init__(self, library: Library, family: str | Family | Space) -> None:
        self.library = library
        given = family.family if isinstance(family, Space) else family
        self.family = given if isinstance(given, Family) else family_of(library, given)
        self._built = family_as_built(library, given) if isinstance(given, str) else self.family
        self._own = Field(Ground(library, family)) if isinstance(family, Space) else None
        self._fields: dict[tuple[bool, frozenset[str]], Field] = {}
        self._reasons: dict[str, dict[str, Reason | None]] = {}
        index = FamilyIndex(self.family)
        self._telling = frozenset(f for f, carrier in index.carrier_of.items() if not _loose(index, carrier))
        """Features that the variant settles, and that so tell it."""
        self._having: dict[str, dict[str, dict[str, bool]]] = {}

    def resolve(self, procedure: str, machine: Machine, answers: Answers | None = None) -> Resolved:
        """The procedure for the machine."""
        here = self._field(procedure, machine)
        within = here.within(machine)
        program = laid_open(self.library, procedure)
        if not within:
            return self._resolved(procedure, Verdict(_clash(here.ground.space, machine)), ())
        judge = Judge(here.ground, within, self.opened_before(procedure, answers or {}))
        verdict = judge.verdict(program.condition)
        if verdict.out:
            return self._resolved(procedure, verdict, ())
        inner = judge if verdict.settled else judge.narrowed(program.condition)
        writer = Writer(procedure, here, self.reasons(procedure), answers or {})
        return self._resolved(procedure, verdict, tuple(writer.items(program.items, inner)[0]))

    def holds_for(self, procedure: str, anchor: str) -> Holding:
        """For which machines the step at an anchor holds, whatever a step will ask."""
        way = holding.ways(self.library, procedure)[anchor]
        ground = self._field(procedure, Known()).ground
        judge = Judge(ground, ground.space.all, self.opened_before(procedure, {}))
        condition = said_once(self._feature_part(way.condition), (each.id for each in self.family.variants))
        return Holding(judge.may_hold(way.condition), ground.space, condition, self.having(procedure)[anchor])

    def siblings(self, procedure: str, anchor: str) -> dict[str, holding.Sibling]:
        """For each variant, where the same step stands on its page, or what stands in its place."""
        ways = tuple(holding.ways(self.library, procedure).values())
        having = self.having(procedure)
        steps = {v.id: frozenset(each for each, has in having.items() if v.id in has) for v in self.family.variants}
        return {variant: holding.sibling_of(ways, anchor, here) for variant, here in steps.items()}

    def having(self, procedure: str) -> Mapping[str, Mapping[str, bool]]:
        """For each step by its anchor, the variants that have it as built; true: all machines of the variant."""
        if procedure not in self._having:
            ways = holding.ways(self.library, procedure)
            self._having[procedure] = {anchor: dict(self._variants(procedure, way)) for anchor, way in ways.items()}
        return self._having[procedure]

    def reasons(self, procedure: str) -> Mapping[str, Reason | None]:
        """Why each step is here, by its anchor; None where every machine has it."""
        if procedure not in self._reasons:
            found = holding.ways(self.library, procedure)
            self._reasons[procedure] = {anchor: self._reason(procedure, way) for anchor, way in found.items()}
        return self._reasons[procedure]

    def _reason(self, procedure: str, way: holding.Way) -> Reason | None:
        condition = said_once(self._feature_part(way.condition), (each.id for each in self.family.variants))
        if condition == ALWAYS:
            return None
        variants = tuple(self.having(procedure)[way.act.anchor].items())
        return Reason(condition, condition_words(self.library, condition), variants)

    def _variants(self, procedure: str, way: holding.Way) -> Iterator[tuple[str, bool]]:
        here = self._field(procedure, AsBuilt(""))
        everywhere = Judge(here.ground, here.ground.space.all, self.opened_before(procedure, {}))
        may_hold = everywhere.may_hold(way.condition)
        for variant in self.family.variants:
            made = here.within(AsBuilt(variant.id))
            if made & may_hold:
                yield variant.id, not made & ~may_hold

    def _feature_part(self, condition: Condition) -> Condition:
        asked = (q for kind in ASKED_KINDS[1:] for q in self.library.of(kind))
        return holding.feature_part(condition, asked)

    def _field(self, procedure: str, machine: Machine) -> Field:
        if self._own:
            return self._own
        family = self._built if isinstance(machine, AsBuilt) else self.family
        asked = holding.questions_read(self.library, procedure)
        if VARIANT in asked and isinstance(machine, Known):
            asked |= self._telling
        asked &= frozenset(feature.id for feature in family.features)
        if isinstance(machine, Known):
            asked = asked.union(machine.forms)
        key = (isinstance(machine, AsBuilt), asked)
        if key not in self._fields:
            self._fields[key] = Field(Ground(self.library, Space(family, asked)))
        return self._fields[key]

    def opened_before(self, procedure: str, answers: Answers | None = None) -> dict[str, tuple[str, ...]]:
        """What may have been changed before the procedure begins, and what has been answered."""
        changed = changes_before(self.library, procedure)
        found = {feature: (UNCHANGED, *sorted(forms)) for feature, forms in changed.items()}
        return found | {question: (answer,) for question, answer in (answers or {}).items()}

    def _resolved(self, procedure: str, verdict: Verdict, items: tuple[ResolvedItem, ...]) -> Resolved:
        title = name_of(self.library.procedures[procedure], "procedures")
        return Resolved(procedure, title, self.family.id, verdict, items)


def _loose(index: FamilyIndex, carrier: str) -> bool:
    return index.carriers[carrier].swapped or carrier in index.free


def _clash(space: Space, machine: Machine) -> Truth:
    return Contradiction(clash(space, machine) if isinstance(machine, Known) else ())
