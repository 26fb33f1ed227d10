"""What an answer says of what is truly there: forms given, and how often a look is wrong."""

from __future__ import annotations

from collections.abc import Mapping

from handwheel.identify.evidence import Evidence, EvidenceError
from handwheel.identify.tables import MISSING, Tables, Trait, marking_trait

Vector = list[float]
Seen = Mapping[int, Vector]
"""By trait: likelihood of all that was said about it, by true answer."""


def answer_vector(trait: Trait, mask: int, wrong: float) -> Vector:
    """Likelihood of an answer, a set of forms as bits, by true answer.

    No bit set: `missing` was said of a part that cannot be lost; that is only ever a slip.
    """
    count, hits = len(trait.answers), mask.bit_count()
    if not mask:
        return [wrong] * count
    if count == 1:
        return [1.0]
    each = wrong / (count - 1)
    return [(1 - wrong) + (hits - 1) * each if mask >> i & 1 else hits * each for i in range(count)]


def answers_to(trait: Trait, before: Vector | None, wrong: float) -> list[Vector]:
    """Each single answer that a look may give, on top of what was said before."""
    vectors = [answer_vector(trait, 1 << answer, wrong) for answer in range(len(trait.answers))]
    return [v if before is None else [a * b for a, b in zip(v, before, strict=True)] for v in vectors]


def answer_mask(trait: Trait, forms: frozenset[str]) -> int:
    """Forms as bits, after a check of their names."""
    for form in sorted(forms - set(trait.answers) - {MISSING}):
        raise EvidenceError(f"{trait.id}: unknown form {form!r}; it has {', '.join(trait.answers)}")
    return sum(1 << i for i, answer in enumerate(trait.answers) if answer in forms)


def answers_given(tables: Tables, evidence: Evidence) -> dict[int, Vector]:
    """What was said of each trait; two looks at one trait are taken as independent of each other."""
    places = {trait.id: i for i, trait in enumerate(tables.traits)}
    seen: dict[int, Vector] = {}
    for look in evidence.looks:
        place = places.get(look.feature)
        if place is None:
            raise EvidenceError(f"unknown feature {look.feature!r} in family {tables.subject.family.id!r}")
        if look.forms:
            trait = tables.traits[place]
            _said(seen, place, answer_vector(trait, answer_mask(trait, look.forms), tables.rates.wrong[look.care]))
    for marking in evidence.markings:
        _read_marking(tables, places, seen, marking)
    return seen


def _said(seen: dict[int, Vector], place: int, vector: Vector) -> None:
    before = seen.get(place)
    seen[place] = vector if before is None else [a * b for a, b in zip(before, vector, strict=True)]


def _read_marking(tables: Tables, places: Mapping[str, int], seen: dict[int, Vector], name: str) -> None:
    marking = next((known for known in tables.subject.markings if known.id == name), None)
    if marking is None:
        raise EvidenceError(f"unknown marking {name!r} in family {tables.subject.family.id!r}")
    wrong = tables.rates.wrong["sure"]
    if marking.variants:
        place = places[marking_trait(name)]
        _said(seen, place, answer_vector(tables.traits[place], 1, wrong))
    for feature, forms in marking.forms.items():
        trait = tables.traits[places[feature]]
        _said(seen, places[feature], answer_vector(trait, answer_mask(trait, forms), wrong))
