"""A procedure with the steps that reach parts put in where it says `reach:`, each for the machines that need it.

They are those that the procedure's own run takes, from the machine as it then stands; for pages and terminals, which
show them with their looks like any other step. Checks run the procedure as written and plan for themselves.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from graphlib import CycleError, TopologicalSorter
from itertools import groupby, pairwise

from handwheel.machines.conditions import ALWAYS, Condition, OfVariant
from handwheel.machines.describe import describe
from handwheel.machines.errors import MachinesError
from handwheel.machines.masks import union
from handwheel.machines.reduce import conjunction, disjunction
from handwheel.procedures.changes import Changes, changes_in
from handwheel.procedures.expand import expand
from handwheel.procedures.program import Act, Guarded, Item, Items, Program, Reached, inside, reached_in, with_inside
from handwheel.procedures.simulate.run import Run, run_procedure
from handwheel.procedures.simulate.trace import Planned
from handwheel.records.library import Library
from handwheel.records.values import When

UNREACHED = ("no-removal", "never-free")
"""What is told where no step leads to a part."""

LONGEST = 40
"""Alternatives beyond which machines are not named, and the place is left as it is written."""


@lru_cache(maxsize=4096)
def laid_open(library: Library, procedure: str) -> Program:
    """The procedure, written out, with what reaches parts; a place that no words can tell apart stays as written."""
    program = expand(library, procedure)
    if not any(reached_in(program.items)):
        return program
    return replace(program, items=_open(program.items, _Opened(library, procedure, changes_in(library, program.items))))


def _open(items: Items, opened: _Opened) -> Items:
    found: list[Item] = []
    for item in items:
        made = with_inside(item, tuple(_open(held, opened) for held in inside(item)))
        found.append(opened.item(made) if isinstance(made, Reached) else made)
    return tuple(found)


@dataclass
class _Opened:
    """What one procedure's runs tell of the places where parts are reached."""

    library: Library
    procedure: str
    changing: Changes
    """Features that the procedure's own steps change: what reads them later would read the new form."""
    _runs: list[Run] | None = field(default=None)

    @property
    def runs(self) -> list[Run]:
        """A run for each family that has machines for the procedure and can be run."""
        if self._runs is None:
            self._runs = []
            for family in self.library.families if any(self.library.variants) else ():
                try:
                    self._runs.append(run_procedure(self.library, family, self.procedure))
                except MachinesError:  # told of by the rules on machines
                    continue
        return self._runs

    def item(self, item: Reached) -> Reached:
        """The place with the steps put in."""
        first: dict[str, list[tuple[Act, Condition]]] = {}
        back: dict[str, list[tuple[Act, Condition]]] = {}
        orders: tuple[list[list[str]], list[list[str]]] = ([], [])
        for run in self.runs:
            planned = [each for each in run.trace.planned if each.anchor == item.anchor]
            told = (each for code in UNREACHED for each in run.trace.of_code(code))
            unreached = [each.machines for each in told if each.place == item.place]
            for place, (name, found) in enumerate((("first", first), ("back", back))):
                conditions = self._conditions(run, planned, unreached, name)
                if conditions is None:
                    return item
                orders[place].extend([act.anchor for act in getattr(each, name)] for each in planned)
                for act, condition in conditions:
                    found.setdefault(act.anchor, []).append((act, condition))
        try:
            before, after = (self._items(item, *each) for each in ((first, orders[0]), (back, orders[1])))
        except CycleError:
            return item
        return replace(item, items=(*before, *item.items, *after))

    def _conditions(
        self, run: Run, planned: list[Planned], unreached: list[int], name: str
    ) -> list[tuple[Act, Condition]] | None:
        """Each step with the machines of the run that need it; None where words cannot tell them apart."""
        come = union(each.machines for each in planned) | union(unreached)
        acts = {act.anchor: act for each in planned for act in getattr(each, name)}
        found = []
        for anchor, act in acts.items():
            mask = union(p.machines for p in planned if anchor in {each.anchor for each in getattr(p, name)})
            said = describe(run.space, mask, come, LONGEST, unsaid=self.changing)
            if not said.exact:
                return None
            found.append((act, conjunction((self._family(run.family), said.condition if mask != come else ALWAYS))))
        return found

    def _family(self, family: str) -> Condition:
        """The machines of a family, where there are others."""
        own = frozenset(each.id for each in self.library.variants_of(family))
        return OfVariant(own) if len(own) < len(self.library.variants) else ALWAYS

    def _items(self, item: Reached, found: dict[str, list[tuple[Act, Condition]]], orders: list[list[str]]) -> Items:
        """The steps in an order that agrees with every way, those of the same machines under one condition."""
        sorter: TopologicalSorter[str] = TopologicalSorter(dict.fromkeys(found, ()))
        for order in orders:
            for earlier, later in pairwise(order):
                sorter.add(later, earlier)
        steps = [(found[anchor][0][0], disjunction(c for _, c in found[anchor])) for anchor in sorter.static_order()]
        made: list[Item] = []
        for condition, some in groupby(steps, key=lambda each: each[1]):
            acts = tuple(replace(act, unless_apart=not act.mirrored) for act, _ in some)
            made += acts if condition == ALWAYS else (Guarded(When(condition, item.place), acts),)
        return tuple(made)
