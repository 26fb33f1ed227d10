"""From the library to what the engine works with: a family's features to look at, serials, masses, markings, words.

Only what a person can look at is kept: questions that years and serial cuts make, and features that no variant of the
family names, are left out together with the combinations that read them. Leaving a combination out lets more machines
stand, so that nothing is ever ruled out wrongly by it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import cast

from handwheel.identify.barred import bars_of
from handwheel.identify.build import build_tables
from handwheel.identify.conflicts import Names
from handwheel.identify.facts import Block, Marking, Measure, Subject, VariantFacts, Years
from handwheel.identify.looks import SECONDS, Plan
from handwheel.identify.rates import Rates
from handwheel.identify.tables import Tables, marking_trait
from handwheel.machines import questions as q
from handwheel.machines.conditions import All, Condition, Is, OfVariant, questions_of
from handwheel.records import machine_records as records
from handwheel.records.families import family_of
from handwheel.records.library import Library

STILL_THERE = 0.8
"""Chance that a marking which the pattern left the works with can still be read; common practice, none is published."""
MASS_SPREAD = 0.02
"""Heads of one pattern weigh alike within so much, as a share (one standard deviation); common practice."""


def subject_of(library: Library, family: str) -> Subject:
    """All that the library knows to tell the variants of a family apart."""
    variants = library.variants_of(family)
    return Subject(
        family=_to_look_at(library, family),
        facts={each.id: _facts(each) for each in variants},
        markings=tuple(_markings(library, variants)),
    )


@lru_cache(maxsize=64)
def tables_for(library: Library, family: str) -> Tables:
    """A family compiled, with what the shop assumes."""
    return build_tables(subject_of(library, family), rates_of(library))


def rates_of(library: Library) -> Rates:
    """Assumptions of the engine, with the shop's own share of machines that the library lacks."""
    shop = next(iter(library.of("shops").values()), None)
    lacks = getattr(shop, "lacks", None)
    return replace(Rates(), none=lacks.value / 100) if lacks is not None else Rates()


def plan_of(library: Library) -> Plan:
    """What a look costs in this shop."""
    own: dict[str, float] = {}
    for shop in library.of("shops").values():
        own |= {effort: number.value for effort, number in shop.seconds.items() if effort in SECONDS}
    return Plan(seconds=cast(Mapping[q.Effort, float], {**SECONDS, **own}))


def names_of(library: Library, family: str) -> Names:
    """Words for features and the parts that carry them, forms, markings and variants of a family."""
    markings = [each for each in subject_of(library, family).markings if each.variants]
    features = {each.id: each.name or each.id.replace("-", " ") for each in library.parts.values()}
    features |= {each.id: each.name or each.id.replace("-", " ") for each in library.features.values()}
    forms = {(f.id, form): record.name for f in library.features.values() for form, record in f.forms.items()}
    forms |= {(feature, q.MISSING): "missing" for feature in features}
    for each in markings:
        trait = marking_trait(each.id)
        features[trait] = library.markings[each.id].name
        forms |= {(trait, "seen"): "it is there", (trait, "not seen"): "it is not there"}
    variants = {each.id: each.short or each.name for each in library.variants_of(family)}
    return Names(features, forms, variants, tuple(bars_of(library, family)))


# ---- family


def _to_look_at(library: Library, family: str) -> q.Family:
    whole = family_of(library, family)
    named = {feature for each in library.variants_of(family) for feature in each.features}
    features = [each for each in whole.features if each.id in named]
    bases = {each.id: _base(each) for each in whole.features if each.derived}
    derived = [each for each in whole.features if each.derived and bases[each.id] <= named]
    kept = {each.id for each in [*features, *derived]}
    return replace(
        whole,
        features=(*features, *derived),
        variants=tuple(_known_forms(each, kept) for each in whole.variants),
        outsiders=tuple(_bringing(each, kept) for each in whole.outsiders if set(each.forms) & kept),
        cannot_stand=tuple(each for each in whole.cannot_stand if questions_of(each) <= kept),
    )


def _base(feature: q.Feature) -> frozenset[str]:
    return frozenset[str]().union(*(questions_of(when) for _, when in feature.derived if when is not None))


def _known_forms(variant: q.Variant, kept: set[str]) -> q.Variant:
    return replace(variant, features={name: forms for name, forms in variant.features.items() if name in kept})


def _bringing(outsider: q.Outsider, kept: set[str]) -> q.Outsider:
    return replace(outsider, forms={name: forms for name, forms in outsider.forms.items() if name in kept})


# ---- facts


def _facts(variant: records.Variant) -> VariantFacts:
    mass = variant.mass.value if variant.mass else None
    return VariantFacts(
        blocks=tuple(_block(each) for each in variant.serials),
        years=_years(variant.made),
        measures={} if mass is None else {"mass": Measure(mass, MASS_SPREAD * mass)},
    )


def _block(block: records.Block) -> Block:
    return Block(block.prefix, str(block.first), str(block.last), years=_years(block.years))


def _years(years: records.Years | None) -> Years | None:
    """A span with both ends; one that is open tells no span."""
    if years is None or years.first is None or years.last is None:
        return None
    return Years(years.first, years.last)


# ---- markings


def _markings(library: Library, variants: tuple[records.Variant, ...]) -> Iterator[Marking]:
    """Markings that turn up on the family: named by a variant of it, or meant for one."""
    own = frozenset(each.id for each in variants)
    listed = {mark for each in variants for mark in each.markings}
    for each in library.markings.values():
        meant = [part for part in _parts(each) if isinstance(part, OfVariant)]
        if each.id in listed or any(part.variants & own for part in meant):
            yield Marking(each.id, variants=_shares(meant, own), forms=_vouched(variants, each))


def _parts(marking: records.Marking) -> tuple[Condition, ...]:
    """What must hold together for a machine that bears it; an either-or tells too little to count on."""
    if marking.means is None:
        return ()
    condition = marking.means.condition
    return condition.parts if isinstance(condition, All) else (condition,)


def _shares(meant: list[OfVariant], own: frozenset[str]) -> dict[str, float]:
    """Which variants bear it; none where it stands on all of them."""
    bearing = own.intersection(*(part.variants for part in meant))
    return {} if bearing == own else dict.fromkeys(sorted(bearing), STILL_THERE)


def _vouched(variants: tuple[records.Variant, ...], marking: records.Marking) -> dict[str, frozenset[str]]:
    named = {feature for each in variants for feature in each.features}
    parts = [part for part in _parts(marking) if isinstance(part, Is) and part.question in named]
    return {part.question: part.states for part in parts}
