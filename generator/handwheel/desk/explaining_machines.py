"""For which machines a record or a condition holds."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from handwheel.desk.meaning import Machines
from handwheel.machines.conditions import ALWAYS, Condition, OfVariant, questions_of
from handwheel.machines.space import Space
from handwheel.procedures.existence import present
from handwheel.procedures.wording import condition_words
from handwheel.records.families import family_as_built
from handwheel.records.library import Library
from handwheel.records.machine_records import Group, Variant
from handwheel.records.values import When

__all__ = ["Machines", "condition_of", "machines_of"]

_DERIVED = ("parts", "fasteners", "settings", "oiling_points")
_EVERYWHERE = ("procedures", "jobs")


def condition_of(library: Library, plural: str, identifier: str) -> Condition | None:
    """When a record holds; None for kinds to which that means nothing."""
    if plural in _DERIVED:
        return present(library, plural, identifier)
    record: Any = library.of(plural)[identifier]
    if plural == "families":
        return OfVariant(frozenset(each.id for each in library.variants_of(identifier)))
    if isinstance(record, Variant):
        return OfVariant(frozenset((identifier,)))
    if isinstance(record, Group):
        return OfVariant(frozenset(_span(library, record)))
    when = getattr(record, "when", None) or getattr(record, "about", None)
    if isinstance(when, When):
        return when.condition
    return ALWAYS if plural in _EVERYWHERE else None


def _span(library: Library, group: Group) -> list[str]:
    order = [each.id for each in library.variants_of(library.variants[group.first].family)]
    return order[order.index(group.first) : order.index(group.last) + 1]


@lru_cache(maxsize=64)
def _space(library: Library, family: str) -> Space:
    return Space(family_as_built(library, family))


def machines_of(library: Library, condition: Condition) -> Machines:
    """The variants on which it holds always, on some machines, or never; only words where a step must ask first."""
    words = condition_words(library, condition) or "every machine"
    asked = {question for question in questions_of(condition) if _is_asked(library, question)}
    if asked:
        return Machines(f"{words} (known once a step has asked: {', '.join(sorted(asked))})")
    standing: dict[str, str] = {each.id: _standing(library, condition, each) for each in library.variants.values()}
    found = {word: tuple(each for each, how in standing.items() if how == word) for word in set(standing.values())}
    return Machines(words, found.get("always", ()), found.get("sometimes", ()), found.get("never", ()))


def _is_asked(library: Library, question: str) -> bool:
    return any(question in library.of(plural) for plural in ("findings", "choices", "readings"))


def _standing(library: Library, condition: Condition, variant: Variant) -> str:
    space = _space(library, variant.family)
    here = space.variant_mask(variant.id)
    holds = space.mask(condition) & here
    return "always" if holds == here else "sometimes" if holds else "never"
