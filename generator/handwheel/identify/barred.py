"""Combinations that cannot stand, as a reason: why a variant cannot have what was seen on it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from handwheel.machines.conditions import Is, OfVariant
from handwheel.machines.reduce import side_by_side
from handwheel.records.library import Library
from handwheel.records.values import Text


@dataclass(frozen=True)
class Bar:
    """Forms that none of the variants can show together."""

    variants: tuple[str, ...]
    forms: tuple[tuple[str, frozenset[str]], ...]
    why: Text

    def holds(self, variant: str, seen: Mapping[str, frozenset[str]]) -> bool:
        """Whether what was seen is such a combination, whatever else the machine shows."""
        return variant in self.variants and all(
            seen.get(feature) and seen[feature] <= own for feature, own in self.forms
        )


def bars_of(library: Library, family: str) -> Iterator[Bar]:
    """Those that are forms side by side, as nearly all are; others are left to the engine, which needs no words."""
    variants = tuple(each.id for each in library.variants_of(family))
    for each in library.families[family].cannot_stand:
        parts = list(side_by_side(each.when.condition))
        forms = tuple((part.question, part.states) for part in parts if isinstance(part, Is))
        if forms and all(isinstance(part, Is | OfVariant) for part in parts):
            own = [part.variants for part in parts if isinstance(part, OfVariant)]
            yield Bar(tuple(v for v in variants if all(v in some for some in own)), forms, each.why)
