"""The machines that can stand here, one by one: written from the words, sharing nothing with the masks."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.questions import MISSING, Family, Feature

Shown = dict[str, str]
"""What one machine shows, its variant under `variant`."""


def every_machine(family: Family) -> list[Shown]:
    """All machines that can stand here, each once."""
    found: list[Shown] = []
    seen: set[tuple[tuple[str, str], ...]] = set()
    for machine in _built(family):
        for feature in family.features:
            if feature.derived:
                machine[feature.id] = look(family, machine, feature.id)
        key = tuple(sorted(machine.items()))
        if key not in seen and not any(holds(family, clause, machine) for clause in family.cannot_stand):
            seen.add(key)
            found.append(machine)
    return found


def holds(family: Family, condition: Condition, machine: Shown) -> bool:
    """Whether the condition holds on one machine."""
    match condition:
        case Is(question, states):
            return look(family, machine, question) in states
        case OfVariant(variants):
            return machine["variant"] in variants
        case Not(part):
            return not holds(family, part, machine)
        case All(parts):
            return all(holds(family, part, machine) for part in parts)
        case Any(parts):
            return any(holds(family, part, machine) for part in parts)


def look(family: Family, machine: Shown, question: str) -> str:
    """What the machine shows; what is derived is worked out."""
    feature = next(feature for feature in family.features if feature.id == question)
    if not feature.derived:
        return machine[question]
    return next((f for f, when in feature.derived if when is None or holds(family, when, machine)), "no clause holds")


def parts_of(family: Family) -> dict[str, list[Feature]]:
    """Features by the part that carries them."""
    parts: dict[str, list[Feature]] = {}
    for feature in family.features:
        if not feature.derived:
            parts.setdefault(feature.carried_by or feature.id, []).append(feature)
    return parts


def fitted(family: Family, part: str, built_as: str) -> Iterator[tuple[str, Shown]]:
    """Every part that can be fitted to a machine built as the variant: where it is from, and what it shows."""
    features = parts_of(family)[part]
    swapped = any(feature.swapped != "never" for feature in features)
    for variant in family.variants:
        if swapped or variant.id == built_as:
            choices = [variant.features.get(feature.id, feature.forms) for feature in features]
            for forms in product(*choices):
                source = "original" if variant.id == built_as else variant.id
                yield source, dict(zip((f.id for f in features), forms, strict=True))
    if not swapped:
        return
    for outsider in family.outsiders:
        if outsider.part == part:
            for forms in product(*(outsider.forms.get(feature.id, feature.forms) for feature in features)):
                yield f"outside {outsider.id}", dict(zip((f.id for f in features), forms, strict=True))
    if any(feature.missing for feature in features):
        yield "missing", {feature.id: MISSING for feature in features}


def _built(family: Family) -> Iterator[Shown]:
    for variant in family.variants:
        for combination in product(*(list(fitted(family, part, variant.id)) for part in parts_of(family))):
            machine: Shown = {"variant": variant.id}
            for _, forms in combination:
                machine.update(forms)
            yield machine
