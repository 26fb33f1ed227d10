"""Families that nobody built, for calibration and benchmarks: as like the real ones as their numbers can be.

Variants follow each other in time; most forms stay for several variants and then change; parts carry
one to three features; castings are never exchanged, fittings often; serials run in overlapping blocks.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

from handwheel.identify.facts import Block, Measure, Subject, VariantFacts, Years
from handwheel.machines.questions import Effort, Family, Feature, Outsider, Swapped, Variant


@dataclass(frozen=True)
class Size:
    """How large a family to make up."""

    variants: int = 12
    features: int = 24
    change: float = 0.3
    """Chance that a feature's form changes from one variant to the next."""


PARTS: tuple[tuple[str, Swapped, Effort], ...] = (
    ("casting", "never", "glance"),
    ("bed", "never", "glance"),
    ("lamp", "often", "glance"),
    ("motor", "often", "glance"),
    ("winder", "often", "glance"),
    ("tension", "seldom", "glance"),
    ("face-plate", "often", "glance"),
    ("hook", "seldom", "strip"),
    ("regulator", "seldom", "tool"),
    ("drive", "never", "tool"),
)


def made_up(rng: random.Random, size: Size | None = None) -> Subject:
    """A family with serial blocks, years and masses."""
    size = size or Size()
    features = tuple(_features(rng, size.features))
    variants = tuple(_variants(rng, size, features))
    outsiders = tuple(_outsiders(rng, features))
    family = Family("made-up", variants, features, outsiders)
    return Subject(family, {v.id: _facts(rng, i, size.variants) for i, v in enumerate(variants)})


def _features(rng: random.Random, count: int) -> list[Feature]:
    features = []
    for number in range(count):
        turn, place = divmod(number // 2, len(PARTS))
        part, swapped, effort = PARTS[place]
        name = f"{part}-{turn}" if turn else part
        forms = tuple("abcde"[: rng.choice([2, 2, 3, 3, 4, 5])])
        features.append(Feature(f"{name}-{number}", forms, name, swapped, swapped == "often", effort))
    return features


def _variants(rng: random.Random, size: Size, features: Sequence[Feature]) -> list[Variant]:
    now = {feature.id: rng.choice(feature.forms) for feature in features}
    variants = []
    for number in range(size.variants):
        for feature in features:
            if rng.random() < size.change:
                now[feature.id] = rng.choice(feature.forms)
        made: dict[str, tuple[str, ...]] = {name: (form,) for name, form in now.items()}
        several = rng.choice(features)
        made[several.id] = tuple(dict.fromkeys((*made[several.id], rng.choice(several.forms))))
        variants.append(Variant(f"v{number:03d}", made))
    return variants


def _outsiders(rng: random.Random, features: Sequence[Feature]) -> list[Outsider]:
    parts = dict.fromkeys(feature.carrier for feature in features if feature.swapped == "often")
    return [
        Outsider(f"kit-{part}", part, {f.id: (rng.choice(f.forms),) for f in features if f.carrier == part})
        for part in parts
        if rng.random() < 0.5
    ]


def _facts(rng: random.Random, number: int, variants: int) -> VariantFacts:
    prefix = "ABCDEFGH"[number * 3 // variants]
    first = rng.randint(0, 60_000)
    last = first + rng.randint(10_000, 40_000)
    year = 1900 + number * 60 // variants
    mass = 10 + 3 * rng.random()
    return VariantFacts(
        blocks=(Block(prefix, f"{first:06d}", f"{last:06d}", years=Years(year, year + 4)),),
        years=Years(year, year + rng.randint(3, 9)),
        measures={"mass": Measure(mass, 0.15)} if rng.random() < 0.6 else {},
    )
