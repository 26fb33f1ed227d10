"""Where steps are met: each with all the conditions that must hold for it to be done."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.reduce import conjunction, disjunction
from handwheel.procedures.ids import full_id, own_steps
from handwheel.procedures.program import Act, Fork, Guarded, Items, Loop, Program, Reached
from handwheel.records.library import Library
from handwheel.records.places import Place
from handwheel.records.step_records import EFFECTS, Step
from handwheel.records.work_records import Procedure


@dataclass(frozen=True)
class Site:
    """A step where it is met."""

    procedure: str
    """The procedure in which it is met; it may be written in another one."""
    act: Act
    condition: Condition
    """All that must hold for it to be done, its own condition among it."""
    repeated: bool = False
    """Whether it stands in a repeat, or in what is done when the tries are used up."""

    @property
    def step(self) -> Step:
        """Its effects as done here."""
        return self.act.step


@dataclass(frozen=True)
class ForkSite:
    """Alternatives where they are met."""

    procedure: str
    question: str
    conditions: tuple[Condition, ...]
    places: tuple[Place, ...]
    within: Condition
    """All that must hold for the choice to be met."""
    place: Place


@dataclass(frozen=True)
class Written:
    """A step as written, once."""

    procedure: Procedure
    step: Step
    sites: tuple[Site, ...]

    @property
    def subject(self) -> str:
        """`procedure/step`."""
        return full_id(self.procedure.id, self.step)

    @property
    def condition(self) -> Condition:
        """All that must hold for it to be met somewhere; where nothing uses it, its own condition."""
        if self.sites:
            return disjunction(dict.fromkeys(site.condition for site in self.sites))
        return self.step.when.condition if self.step.when else ALWAYS

    @property
    def acts_on_something(self) -> bool:
        """Whether it has any effect."""
        return any(getattr(self.step, effect) for effect in EFFECTS)

    @property
    def done(self) -> tuple[Step, ...]:
        """Its effects, words filled in, for each way that it is done; mirrored ones left out."""
        found = dict.fromkeys(id(site.step) for site in self.sites if not site.act.mirrored)
        by_id = {id(site.step): site.step for site in self.sites}
        return tuple(by_id[each] for each in found) or (self.step,)


def walk(program: Program) -> tuple[tuple[Site, ...], tuple[ForkSite, ...]]:
    """Every step and every fork of a procedure, with what must hold for each."""
    walker = _Walker(program.procedure)
    walker.items(program.items, program.condition, False)
    return tuple(walker.sites), tuple(walker.forks)


class _Walker:
    def __init__(self, procedure: str) -> None:
        self.procedure = procedure
        self.sites: list[Site] = []
        self.forks: list[ForkSite] = []

    def items(self, items: Items, within: Condition, repeated: bool) -> None:
        for item in items:
            match item:
                case Act():
                    here = conjunction((within, item.condition))
                    self.sites.append(Site(self.procedure, item, here, repeated))
                case Guarded(when=when, items=held):
                    self.items(held, conjunction((within, when.condition)), repeated)
                case Fork():
                    self._fork(item, within, repeated)
                case Loop(items=body, otherwise=otherwise):
                    self.items((*body, *otherwise), within, True)
                case Reached(items=held):
                    self.items(held, within, repeated)

    def _fork(self, fork: Fork, within: Condition, repeated: bool) -> None:
        conditions = tuple(arm.when.condition for arm in fork.arms)
        places = tuple(arm.when.place for arm in fork.arms)
        self.forks.append(ForkSite(self.procedure, fork.question, conditions, places, within, fork.place))
        for arm in fork.arms:
            self.items(arm.items, conjunction((within, arm.when.condition)), repeated)


def written(library: Library, sites: Iterable[Site]) -> Iterator[Written]:
    """Every step of the library as written, with the sites that it is met at."""
    met: dict[int, list[Site]] = {}
    for site in sites:
        met.setdefault(id(site.act.authored), []).append(site)
    for procedure in library.procedures.values():
        for step in own_steps(procedure.steps):
            yield Written(procedure, step, tuple(met.get(id(step), ())))
