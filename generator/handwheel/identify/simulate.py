"""Machines made by chance, and looks at them: what calibration holds the engine against.

The machine is put together here part by part, with rates of its own; nothing of the engine's
likelihood is used.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from handwheel.identify.evidence import Evidence, Look, Measured, SerialRead, read_serial, saw
from handwheel.identify.facts import Subject
from handwheel.machines.family import Carrier, FamilyIndex
from handwheel.machines.questions import MISSING, Swapped


@dataclass(frozen=True)
class Treatment:
    """What was done to a machine, and how it is looked at."""

    name: str
    changed: int | None = None
    """Number of parts not original; None: each part by the chances below."""
    swapped: Mapping[Swapped, float] = field(default_factory=lambda: {"never": 0.0, "seldom": 0.05, "often": 0.25})
    lost: Mapping[Swapped, float] = field(default_factory=lambda: {"never": 0.0, "seldom": 0.02, "often": 0.05})
    together: bool = False
    """All parts that are not original come from one donor."""
    outside: float = 0.3
    """Of the parts not original: share from outside, half declared, half not, where any is declared."""
    wrong: float = 0.02
    """Chance that a look names another form."""
    misread: int = 0
    """Characters of the serial read as others."""
    worn: bool = False
    """No character of the serial can be read."""
    unseen: float = 0.1
    """Chance that a look cannot be taken."""


@dataclass(frozen=True)
class Found:
    """A machine that stands here."""

    variant: str
    forms: Mapping[str, str]
    serial: str
    mass: float | None
    changed: tuple[str, ...]


def put_together(rng: random.Random, subject: Subject, variant: str, how: Treatment) -> Found:
    """One machine of a variant, treated so."""
    index = FamilyIndex(subject.family)
    forms: dict[str, str] = {}
    for carrier in index.carriers.values():
        forms.update(_fitted(rng, carrier, index.variants[variant].features))
    changed = _to_change(rng, index, how)
    donor = rng.choice([v for v in index.variants if v != variant] or [variant])
    for carrier in changed:
        forms.update(_other_part(rng, index, carrier, variant, donor, how))
    mass = subject.of(variant).measures.get("mass")
    weight = rng.gauss(mass.value, mass.spread) if mass else None
    return Found(variant, forms, _stamped(rng, subject, variant), weight, tuple(c.id for c in changed))


def look_at(rng: random.Random, index: FamilyIndex, found: Found, feature: str, how: Treatment) -> Look:
    """One look at one feature of the machine."""
    if rng.random() < how.unseen:
        return saw(feature)
    true = found.forms[feature]
    carrier = index.carriers[index.carrier_of[feature]]
    answers = [*index.features[feature].forms, *([MISSING] if carrier.missing else [])]
    others = [answer for answer in answers if answer != true]
    if others and rng.random() < how.wrong:
        return saw(feature, rng.choice(others))
    return saw(feature, true)


def read_off(rng: random.Random, found: Found, how: Treatment) -> SerialRead:
    """The serial as it is read."""
    if how.worn:
        return read_serial("?" * len(found.serial))
    characters = list(found.serial)
    for place in rng.sample(range(len(characters)), min(how.misread, len(characters))):
        characters[place] = rng.choice([c for c in "0123456789" if c != characters[place]])
    return SerialRead(tuple(frozenset(c) for c in characters))


def examined(
    rng: random.Random, subject: Subject, found: Found, how: Treatment, choose: Callable[[Evidence], str | None]
) -> Evidence:
    """Look, as `choose` says, until it says None."""
    index, evidence = FamilyIndex(subject.family), Evidence()
    while (next_one := choose(evidence)) is not None:
        looks, serial, measured = evidence.looks, evidence.serial, evidence.measured
        if next_one == "serial":
            serial = read_off(rng, found, how)
        elif next_one == "mass":
            value = found.mass if found.mass is not None else rng.uniform(10, 13)
            measured = (*measured, Measured("mass", round(value + rng.gauss(0, 0.05), 2), 0.05))
        else:
            looks = (*looks, look_at(rng, index, found, next_one, how))
        evidence = Evidence(looks, evidence.markings, serial, measured)
    return evidence


def _fitted(rng: random.Random, carrier: Carrier, made: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    return {f.id: rng.choice(made.get(f.id, f.forms)) for f in carrier.features}


def _class_of(carrier: Carrier) -> Swapped:
    classes = {feature.swapped for feature in carrier.features}
    return "often" if "often" in classes else "seldom" if "seldom" in classes else "never"


def _to_change(rng: random.Random, index: FamilyIndex, how: Treatment) -> list[Carrier]:
    carriers = [carrier for carrier in index.carriers.values() if carrier.swapped]
    if how.changed is None:
        return [carrier for carrier in carriers if rng.random() < how.swapped[_class_of(carrier)]]
    weights = {carrier.id: how.swapped[_class_of(carrier)] for carrier in carriers}
    chosen: list[Carrier] = []
    while len(chosen) < min(how.changed, len(carriers)):
        left = [carrier for carrier in carriers if carrier not in chosen]
        chosen += rng.choices(left, [weights[carrier.id] for carrier in left])
    return chosen


def _other_part(
    rng: random.Random, index: FamilyIndex, carrier: Carrier, variant: str, donor: str, how: Treatment
) -> dict[str, str]:
    if carrier.missing and not how.together and rng.random() < 0.15:
        return {feature.id: MISSING for feature in carrier.features}
    if not how.together and rng.random() < how.outside:
        outsiders = index.outsiders(carrier)
        if outsiders and rng.random() < 0.5:
            return _fitted(rng, carrier, rng.choice(outsiders).forms)
        return _fitted(rng, carrier, {})
    if how.together:
        return _fitted(rng, carrier, index.variants[donor].features)
    return _fitted(rng, carrier, _unlike(rng, index, carrier, variant))


def _unlike(rng: random.Random, index: FamilyIndex, carrier: Carrier, variant: str) -> Mapping[str, tuple[str, ...]]:
    """The part of another variant, one that differs where there is one."""
    own = carrier.combinations(index.variants[variant].features)
    others = [v for v in index.variants.values() if v.id != variant]
    differing = [v for v in others if carrier.combinations(v.features) != own]
    return rng.choice(differing or others or [index.variants[variant]]).features


def _stamped(rng: random.Random, subject: Subject, variant: str) -> str:
    if not subject.of(variant).blocks:
        return f"Z{rng.randint(0, 999_999):06d}"
    block = rng.choice(subject.of(variant).blocks)
    number = str(rng.randint(int(block.first), int(block.last)))
    padded = len(block.first) == len(block.last)
    return f"{block.prefix}{number.zfill(len(block.last)) if padded else number}{block.suffix}"
