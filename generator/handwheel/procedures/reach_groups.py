"""A part reached on machines of which something is known: one answer for each group of machines that share it."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.machines.conditions import Condition, questions_of
from handwheel.machines.describe import describe
from handwheel.machines.family import FamilyIndex
from handwheel.machines.machine import Known
from handwheel.machines.masks import lowest
from handwheel.machines.space import Space
from handwheel.machines.truth import settling
from handwheel.procedures.reach import Plan, Planner, verified
from handwheel.procedures.resolve import AsBuilt, Machine
from handwheel.records.families import family_as_built, family_of
from handwheel.records.library import Library


@dataclass(frozen=True)
class Group:
    """Machines on which a part is reached in the same way."""

    plan: Plan
    machines: int
    """In the space of the answer."""
    condition: Condition | None
    """What tells them from the others that may stand here; None where it is the only group, or would be too long."""
    looks: tuple[str, ...] = ()
    """The fewest looks that settle whether it is one of them."""


@dataclass(frozen=True)
class Reached:
    """How a part is reached on all machines that what is known leaves open."""

    space: Space
    """Machines told apart as far as the answer needs it."""
    within: int
    groups: tuple[Group, ...]


def reach_known(library: Library, family: str, machine: Machine, part: str, *, verify: bool = True) -> Reached:
    """How a part is reached on a machine known wholly or in part.

    The space is widened until it keeps every feature that some plan asks for, so that machines that are many do not
    matter as long as those that the part hangs on are few.
    """
    made = family_as_built if isinstance(machine, AsBuilt) else family_of
    index = FamilyIndex(made(library, family))
    asked = frozenset(machine.forms) if isinstance(machine, Known) else frozenset[str]()
    while True:
        space = Space(index, asked)
        within = space.variant_mask(machine.variant) if isinstance(machine, AsBuilt) else space.known(machine)
        found, more = _plans(library, space, within, part)
        if more <= asked:
            break
        asked |= more
    return Reached(space, within, tuple(_groups(library, space, within, found, verify)))


def reach_in(library: Library, space: Space, within: int, part: str, *, verify: bool = True) -> Reached:
    """How a part is reached on some machines of a space that keeps every question: exact for each of them."""
    found, _ = _plans(library, space, within, part)
    return Reached(space, within, tuple(_groups(library, space, within, found, verify)))


def _plans(library: Library, space: Space, within: int, part: str) -> tuple[list[tuple[Plan, int]], frozenset[str]]:
    """Plans with their machines; or the features that must be kept besides, and then the plans are worth nothing."""
    found: dict[tuple[object, ...], tuple[Plan, int]] = {}
    left = within
    while left:
        planner = Planner(library, space, 1 << lowest(left))
        plan = planner.plan(part)
        if planner.unkept:
            return [], frozenset(planner.unkept)
        known, machines = found.get(plan.key, (plan, 0))
        found[plan.key] = (known, machines | planner.alike & left)
        left &= ~planner.alike
    return list(found.values()), frozenset()


def _groups(library: Library, space: Space, within: int, found: list[tuple[Plan, int]], verify: bool) -> list[Group]:
    groups = []
    for plan, machines in found:
        condition, looks = None, tuple[str, ...]()
        if machines != within:
            said = describe(space, machines, within)
            condition = said.condition if said.exact else None
            looks = settling(space, condition, within) if condition else ()
        plan = verified(library, space, lowest(machines), plan) if verify else plan
        groups.append(Group(plan, machines, condition, looks))
    return groups


def questions_open(reached: Reached) -> frozenset[str]:
    """Features that the groups are told apart by."""
    return frozenset[str]().union(*(questions_of(each.condition) for each in reached.groups if each.condition))
