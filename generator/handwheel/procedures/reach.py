"""Reach a part: the least that must come off on one machine, in a possible order, and all that then needs doing.

The strip steps are the authored ones; the refit mirrors them; what they lose is set again by its authored run, as late
as it can still be set. What content lacks is said, never made up. The plan is run by the same simulation as any job.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from handwheel.machines.conditions import ALWAYS, Any, Condition, Is, Not, questions_of
from handwheel.machines.machine import Machine
from handwheel.machines.questions import MISSING
from handwheel.machines.reduce import conjunction
from handwheel.machines.space import Space
from handwheel.procedures.existence import present
from handwheel.procedures.expand import expand
from handwheel.procedures.least import least
from handwheel.procedures.mirror import mirror_act
from handwheel.procedures.program import Act, Fork, Guarded, Item, Items, Loop, Program, acts_of
from handwheel.procedures.simulate.anatomy import Anatomy, anatomy_of
from handwheel.procedures.simulate.run import run_program
from handwheel.procedures.simulate.trace import Violation
from handwheel.records.library import Library
from handwheel.records.step_records import Step


@dataclass(frozen=True)
class Setting:
    """A setting that the work loses, and the steps that set it again; no steps where no procedure tells them."""

    id: str
    items: Items


@dataclass(frozen=True)
class Plan:
    """How a part is reached on one machine."""

    part: str
    first: tuple[Act, ...]
    """What comes before anything is taken off: isolating, where something electrical is handled."""
    off: tuple[Act, ...]
    """Strip steps in order; the last one takes the part off."""
    back: tuple[Act, ...]
    """Refit steps in order."""
    settings: tuple[Setting, ...]
    """Settings lost, in the order in which they are set again."""
    oiled: tuple[Act, ...]
    """Oiling of the points on the part, as when it is renewed."""
    tests: tuple[str, ...]
    """Procedures that prove what the work wears out."""
    items: Items
    """All of it in order, as it is run."""
    missing: tuple[str, ...]
    """What content does not tell, in words."""
    shortest: bool = True
    """Whether no shorter way is left untried."""
    violations: tuple[Violation, ...] = ()
    """What the simulation says against it, tests and hand-over apart."""

    @property
    def parts_off(self) -> tuple[str, ...]:
        """Parts that come off, in order."""
        return tuple(dict.fromkeys(part for act in self.off for part in act.step.removes))

    @property
    def key(self) -> tuple[object, ...]:
        """Equal for machines on which the answer is the same."""
        acts = (*self.first, *self.off, *self.back, *self.oiled)
        return (
            tuple(act.anchor + act.id for act in acts),
            tuple((each.id, tuple(act.id for act in acts_of(each.items))) for each in self.settings),
            self.tests,
            self.missing,
        )


def reach(library: Library, space: Space, bit: int, part: str, *, verify: bool = True) -> Plan:
    """The plan for one machine of a space, given by its bit; the space must keep every question.

    With `verify` the whole plan is run by the simulation, and what that says against it is in `violations`.
    """
    plan = Planner(library, space, 1 << bit).plan(part)
    return verified(library, space, bit, plan) if verify else plan


def verified(library: Library, space: Space, bit: int, plan: Plan) -> Plan:
    """The plan with what the simulation says against it."""
    run = run_program(library, space.family.id, _program(plan.items))
    machines = in_space(run.space, space.machine(bit))
    return replace(plan, violations=tuple(each for each in run.trace.violations if each.machines & machines))


def in_space(space: Space, machine: Machine) -> int:
    """A machine in another space of its family."""
    mask = space.variant_mask(machine.variant)
    for question, form in machine.forms.items():
        if question in space.questions:
            mask &= space.form_mask(question, form)
    return mask


@lru_cache(maxsize=65_536)
def _mask(space: Space, condition: Condition) -> int | None:
    """Machines on which a condition holds by looking alone; None where it asks for what looking cannot tell."""
    if not questions_of(condition) <= frozenset(space.questions):
        return None
    return space.mask(condition)


@lru_cache(maxsize=16_384)
def _there(library: Library, plural: str, identifier: str) -> Condition:
    """The condition on which a machine as found has a thing: nothing that it hangs on is lost."""
    if plural == "parts":
        chain = (identifier, *anatomy_of(library).carriers.get(identifier, ()))
        lost = (each for each in library.features.values() if each.missing and each.carried_by in chain)
        gone = (Not(Is(each.id, frozenset((MISSING,)))) for each in lost)
        return conjunction((present(library, plural, identifier), *gone))
    if plural == "settings":
        setting = library.settings[identifier]
        held = tuple(_there(library, _kind(library, each), each) for each in setting.held_by)
        return conjunction((present(library, plural, identifier), Any(held) if held else ALWAYS))
    record = library.fasteners.get(identifier)
    parts = record.holds if record and plural == "fasteners" else library.oiling_points[identifier].between
    return conjunction((present(library, plural, identifier), *(_there(library, "parts", each) for each in parts)))


def _kind(library: Library, holder: str) -> str:
    return "fasteners" if holder in library.fasteners else "parts"


@lru_cache(maxsize=8)
def provers(library: Library) -> Mapping[str, tuple[tuple[str, Condition], ...]]:
    """Proof -> every procedure with a step that proves it, with the condition of the procedure, in order."""
    found: dict[str, dict[str, Condition]] = {}
    for name in library.procedures:
        program = expand(library, name)
        for act in program.acts:
            for proof in act.step.proves:
                found.setdefault(proof, {})[name] = program.condition
    return {proof: tuple(each.items()) for proof, each in found.items()}


@lru_cache(maxsize=8)
def setters(library: Library) -> Mapping[str, frozenset[str]]:
    """Setting -> procedures with a step that sets it."""
    found: dict[str, set[str]] = {}
    for name in library.procedures:
        for act in expand(library, name).acts:
            for setting in act.step.sets:
                found.setdefault(setting, set()).add(name)
    return {setting: frozenset(names) for setting, names in found.items()}


@dataclass
class Planner:
    """Plans for one machine, and tells which others have the same answer."""

    library: Library
    space: Space
    machine: int
    alike: int = -1
    """Machines on which everything that was looked at is the same."""
    unkept: set[str] = field(default_factory=set)
    """Features that were asked for and that the space does not keep; with any, the plan is worth nothing."""
    acts: tuple[Act, ...] = ()

    @property
    def anatomy(self) -> Anatomy:
        """How machines of the library hang together."""
        return anatomy_of(self.library)

    def holds(self, condition: Condition) -> bool:
        """Whether a condition holds on the machine; one that a step must ask first does not count."""
        mask = _mask(self.space, condition)
        if mask is None:
            self.unkept |= questions_of(condition) & self.space.index.features.keys() - set(self.space.questions)
            return False
        here = bool(mask & self.machine)
        self.alike &= mask if here else ~mask
        return here

    def has(self, plural: str, identifier: str) -> bool:
        """Whether the machine has the thing."""
        return self.holds(_there(self.library, plural, identifier))

    def is_so(self, _kind: str, _subject: str) -> bool:
        """Nothing is off or loose: a machine in order."""
        return False

    def plan(self, part: str) -> Plan:
        """How to reach the part."""
        way = least(self.library, self, (part,), off=True)
        self.acts = way.acts
        back = tuple(each for act in reversed(way.acts) if (each := mirror_act(act)) is not None)
        first = tuple(self._isolating())
        settings = tuple(self._settings(self._lost((*first, *way.acts))))
        oiled = tuple(self._oiling(part))
        items = (*first, *way.acts, *self._placed(back, settings, oiled))
        missing = [f"no step takes off '{each}'" for each in way.missing]
        missing += [f"'{part}' cannot come off: whatever is taken off, something stands in front"] if way.barred else []
        missing += [f"no step sets '{setting.id}' again" for setting in settings if not setting.items]
        tests = self._tests({*(p for act in way.acts for p in act.step.removes), *way.missing})
        return Plan(part, first, way.acts, back, settings, oiled, tests, items, tuple(missing), way.proven)

    def _done(self, items: Items) -> Iterator[Act]:
        """Steps that this machine gets by looking alone."""
        for item in items:
            match item:
                case Act():
                    if self.holds(item.condition):
                        yield item
                case Guarded(when=when, items=held):
                    if self.holds(when.condition):
                        yield from self._done(held)
                case Fork(arms=arms):
                    for arm in arms:
                        if self.holds(arm.when.condition):
                            yield from self._done(arm.items)

    def _isolating(self) -> Iterator[Act]:
        handled = {part for act in self.acts for part in act.step.removes}
        along = {each for part in handled for each in self.anatomy.below(part)}
        if any(self.library.parts[each].electrical and self.has("parts", each) for each in handled | along):
            yield from self._first(lambda act: bool(act.step.isolates))

    def _first(self, wanted: object) -> Iterator[Act]:
        """The first step of the library that this machine gets and that is wanted."""
        assert callable(wanted)
        for name, procedure in self.library.procedures.items():
            program = expand(self.library, name)
            if not procedure.shared and self.holds(program.condition):
                for act in self._done(program.items):
                    if wanted(act):
                        yield act
                        return

    # ---------------------------------------------------------------------------------- refit

    def _lost(self, acts: Iterable[Act]) -> tuple[str, ...]:
        """Settings that are lost once all is back, the ones that others rest on first."""
        gone = dict.fromkeys(name for act in acts for name in self.lost_by(act.step))
        lost = list(dict.fromkeys(each for name in gone for each in (name, *self._resting_on(name))))
        order: dict[str, None] = {}
        for name in (each for each in self.library.settings if each in lost):
            self._after(name, lost, order)
        return tuple(order)

    def lost_by(self, step: Step) -> Iterator[str]:
        """Settings that a step loses on a machine in order: by screws whose seat lets go, and by parts."""
        screws = [each for part in step.removes for each in self.anatomy.holders.get(part, ())]
        for fastener in dict.fromkeys((*step.loosens, *step.undoes, *screws)):
            held = self.anatomy.held_settings.get(fastener, ())
            if held and self.has("fasteners", fastener) and self._lets_go(fastener):
                yield from (each for each in held if self.has("settings", each))
        for part in step.removes:
            held = self.anatomy.held_settings.get(part, ())
            yield from (each for each in held if self.has("parts", part) and self.has("settings", each))
        yield from (each for each in step.disturbs if self.has("settings", each))

    def _lets_go(self, fastener: str) -> bool:
        """Whether its seat does not find its place again by itself."""
        seat = self.library.fasteners[fastener].seat
        return all(case.value == "any" or not self.holds(case.condition) for case in (seat.cases if seat else ()))

    def _resting_on(self, setting: str) -> Iterator[str]:
        """Settings that are lost when this one is set."""
        for other in self.anatomy.dependents.get(setting, ()):
            if self.has("settings", other):
                yield other
                yield from self._resting_on(other)

    def _after(self, name: str, lost: list[str], order: dict[str, None]) -> None:
        for other in self.library.settings[name].after:
            if other in lost and other not in order:
                self._after(other, lost, order)
        order[name] = None

    def _settings(self, lost: tuple[str, ...]) -> Iterator[Setting]:
        for name in lost:
            yield Setting(name, self._setting_run(name))

    def _setting_run(self, setting: str) -> Items:
        for name, procedure in self.library.procedures.items():
            if name not in setters(self.library).get(setting, ()):
                continue
            program = expand(self.library, name)
            if not procedure.shared and self.holds(program.condition):
                found = self._sets(program.items, setting)
                if found is not None:
                    return (found,)
        return ()

    def _sets(self, items: Items, setting: str) -> Item | None:
        for item in items:
            match item:
                case Act() if setting in item.step.sets and self.holds(item.condition):
                    return item
                case Loop() if any(setting in act.step.sets for act in acts_of(item.items)):
                    return item
                case Guarded(when=when, items=held) if self.holds(when.condition):
                    if (found := self._sets(held, setting)) is not None:
                        return found
                case Fork(arms=arms):
                    for arm in arms:
                        if self.holds(arm.when.condition) and (found := self._sets(arm.items, setting)) is not None:
                            return found
        return None

    def _oiling(self, part: str) -> Iterator[Act]:
        for point in self.anatomy.points_on.get(part, ()):
            if self.has("oiling_points", point):
                yield from self._first(lambda act, point=point: point in act.step.lubricates)

    def _placed(self, back: tuple[Act, ...], settings: tuple[Setting, ...], oiled: tuple[Act, ...]) -> Iterator[Item]:
        """The refit with settings and oil put in before what closes over them."""
        waiting = [(self._closed_by(each.id), each.items) for each in settings]
        oil = [({b.part for p in act.step.lubricates for b in self.anatomy.point_blockers[p]}, (act,)) for act in oiled]
        waiting = [*oil, *waiting]
        for act in back:
            for closes, items in list(waiting):
                if closes & set(act.step.fits):
                    yield from items
                    waiting.remove((closes, items))
            yield act
        for _, items in waiting:
            yield from items

    def _closed_by(self, setting: str) -> set[str]:
        record = self.library.settings[setting]
        open_parts = set(record.set_when.open) if record.set_when else set()
        held = (each for each in record.held_by if each in self.library.fasteners)
        return open_parts | {b.part for each in held for b in self.anatomy.fastener_blockers.get(each, ())}

    def _tests(self, off: Iterable[str]) -> tuple[str, ...]:
        electrical = any(self.library.parts[part].electrical for part in off)
        found: dict[str, None] = {}
        for proof in self.library.proofs.values():
            worn = electrical if proof.stale_by == "electrical" else bool(self.acts)
            if worn and (proof.when is None or self.holds(proof.when.condition)):
                found |= dict.fromkeys(self._provers(proof.id))
        return tuple(found)

    def _provers(self, proof: str) -> Iterator[str]:
        for name, condition in provers(self.library).get(proof, ()):
            if self.holds(condition):
                yield name
                return


def _program(items: Items) -> Program:
    return Program("", ALWAYS, items)
