"""Two shops made by chance under one roof: they share the head, the mains, the tests and the variants, and no more."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

from hypothesis import strategies as st
from making_shops import shops

from handwheel.records.kinds import KINDS
from handwheel.records.library import Library
from handwheel.records.step_records import Reach, Step
from shopkit import FAMILY, procedure, shop, step

SHARED = {"head", "v1", "v2", "electrical", "sewing", "spirit", "alcohol", "steel", "rubber", "shellac", "enamel"}
"""Ids that mean the same thing in both."""
OWN = ("parts", "fasteners", "settings", "oiling_points", "features", "outsiders", "findings", "readings", "choices",
       "prohibitions", "items", "positions", "procedures")  # fmt: skip


@st.composite
def pairs(draw: st.DrawFn) -> Library:
    """One job that goes through the work of the first shop, then of the second."""
    calm = draw(st.integers(0, 4))
    one, other = (calmed(draw(shops())) if calm else draw(shops()) for _ in "12")
    names = {each for kind in OWN for each in other.of(kind)} - SHARED
    second = {kind: [renamed(each, names) for each in other.of(kind).values()] for kind in OWN}
    both = [each for kind in OWN for each in one.of(kind).values()]
    both += [each for kind in OWN for each in second[kind] if each.id not in SHARED]
    shared = ("agents", "materials", "finishes", "proofs")
    both += [each for kind in shared for each in one.of(kind).values()]
    for variant in one.variants.values():
        more = renamed(other.variants[variant.id].features, names)
        both.append(dataclasses.replace(variant, features={**variant.features, **more}))
    end = procedure("end", step("Hand it over.", id="told", isolates="mains", proves="sewing", hands_over=True))
    both.append(end)
    job = one.jobs["job"]
    later = tuple(renamed(each, names) for each in other.jobs["job"].procedures)
    both.append(dataclasses.replace(job, procedures=(*job.procedures, *later, "end")))
    family = one.families[FAMILY]
    barred = (*family.cannot_stand, *renamed(other.families[FAMILY].cannot_stand, names))
    return shop(*both, dataclasses.replace(family, cannot_stand=barred))


RESTLESS = ("lifts", "heats", "stops", "runs", "isolates", "restores", "proves", "hands_over")
"""Effects that bear on everything, or look at everything."""


def calmed(value: Any) -> Any:
    """The value without what couples all its steps to one another."""
    match value:
        case Library():
            kinds = {kind: {each.id: calmed(each) for each in value.of(kind).values()} for kind in KINDS}
            return Library(kinds=kinds)
        case Step():
            return dataclasses.replace(value, **{name: type(getattr(value, name))() for name in RESTLESS})
        case tuple():
            return tuple(calmed(each) for each in value if not isinstance(each, Reach))
        case Mapping():
            return {key: calmed(each) for key, each in value.items()}
    if not dataclasses.is_dataclass(value) or isinstance(value, type):
        return value
    fields = {f.name: calmed(getattr(value, f.name)) for f in dataclasses.fields(value) if f.init}
    return dataclasses.replace(value, **fields)


def renamed(value: Any, names: set[str]) -> Any:
    """The value with these ids given another name, wherever they stand in it."""
    match value:
        case str():
            return f"other-{value}" if value in names else value
        case Mapping():
            return {renamed(k, names): renamed(v, names) for k, v in value.items()}
        case tuple() | list() | set() | frozenset():
            return type(value)(renamed(each, names) for each in value)
    if not dataclasses.is_dataclass(value) or isinstance(value, type):
        return value
    fields = {f.name: renamed(getattr(value, f.name), names) for f in dataclasses.fields(value) if f.init}
    return dataclasses.replace(value, **fields)
