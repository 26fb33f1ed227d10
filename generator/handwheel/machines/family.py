"""A family made ready for questions: carriers, derived features in order, what each condition really reads."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import product
from math import prod
from typing import TypeVar

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant, questions_of
from handwheel.machines.errors import FamilyFault, UnknownQuestion, UnknownState, UnknownVariant
from handwheel.machines.masks import VARIANT
from handwheel.machines.questions import MISSING, Family, Feature, Outsider, Variant

Named = TypeVar("Named", Feature, Variant)

Forms = tuple[str, ...]
"""One form for each feature of a carrier, in the carrier's order."""


@dataclass(frozen=True)
class Carrier:
    """A part with the features that change hands together with it, or those of them that are asked about."""

    id: str
    features: tuple[Feature, ...]
    swapped: bool
    missing: bool

    def combinations(self, forms: Mapping[str, tuple[str, ...]]) -> tuple[Forms, ...]:
        """Every combination of the forms given; a feature that is not named may have any of its own."""
        return tuple(product(*(dict.fromkeys(forms.get(feature.id, feature.forms)) for feature in self.features)))

    def size(self, forms: Mapping[str, tuple[str, ...]]) -> int:
        """How many combinations there are, without listing them."""
        return prod(len(set(forms.get(feature.id, feature.forms))) for feature in self.features)

    @property
    def lost(self) -> Forms:
        """What is seen when the part is missing."""
        return (MISSING,) * len(self.features)


class FamilyIndex:
    """One family with its names looked up and checked; made once, then only read."""

    def __init__(self, family: Family) -> None:
        self.family = family
        self.features: dict[str, Feature] = _by_id(family.features, "feature")
        self.variants: dict[str, Variant] = _by_id(family.variants, "variant")
        self.carriers = _carriers(family.features)
        self.carrier_of = {feature.id: carrier.id for carrier in self.carriers.values() for feature in carrier.features}
        self._check_forms()
        self._base: dict[str, frozenset[str]] = {feature: frozenset((feature,)) for feature in self.carrier_of}
        self.derived: tuple[Feature, ...] = self._in_order()
        for clause in family.cannot_stand:
            self.check(clause, f"family {family.id!r}, cannot_stand")
        self.reads_of_clauses = tuple(self.reads(clause) for clause in family.cannot_stand)
        self.free = frozenset(carrier.id for carrier in self.carriers.values() if self._is_free(carrier))

    def base(self, question: str) -> frozenset[str]:
        """Features to look at in order to answer the question: itself, or what it is derived from."""
        if question not in self._base:
            raise UnknownQuestion(question, self.features)
        return self._base[question]

    def reads(self, condition: Condition) -> frozenset[str]:
        """Features that the condition reads, derived ones followed down to those that are looked at."""
        return frozenset().union(*map(self.base, questions_of(condition)))

    def restricted(self, features: frozenset[str]) -> tuple[Carrier, ...]:
        """The carriers of these features, each with these features only."""
        kept = (
            replace(carrier, features=tuple(f for f in carrier.features if f.id in features))
            for carrier in self.carriers.values()
        )
        return tuple(carrier for carrier in kept if carrier.features)

    def outsiders(self, carrier: Carrier) -> tuple[Outsider, ...]:
        """Parts from outside the family that can stand in for the carrier; none where it is never swapped."""
        return tuple(o for o in self.family.outsiders if carrier.swapped and o.part == carrier.id)

    def check(self, condition: Condition, where: str = "") -> None:
        """Raise if the condition names a question, state or variant that the family does not have."""
        match condition:
            case Is(question, states):
                if question not in self.features:
                    raise UnknownQuestion(question, self.features, where)
                self.check_states(question, states, where)
            case OfVariant(variants):
                for variant in sorted(variants - self.variants.keys() - self.family.elsewhere):
                    raise UnknownVariant(variant, self.variants, where)
            case Not(part):
                self.check(part, where)
            case All(parts) | Any(parts):
                for part in parts:
                    self.check(part, where)

    def check_states(self, question: str, states: Iterable[str], where: str = "") -> None:
        """Raise if one of the states is neither a form of the feature nor `missing`."""
        forms = self.features[question].forms
        for state in sorted(set(states) - {MISSING, *forms}):
            raise UnknownState(state, forms, where or question)

    def _is_free(self, carrier: Carrier) -> bool:
        """Whether naming the variant leaves open what the carrier shows."""
        if not carrier.swapped:
            return any(carrier.size(variant.features) > 1 for variant in self.family.variants)
        sources = [v.features for v in self.family.variants] + [o.forms for o in self.outsiders(carrier)]
        if carrier.missing or any(carrier.size(source) > 1 for source in sources):
            return True
        return len({forms for source in sources for forms in carrier.combinations(source)}) > 1

    def _check_forms(self) -> None:
        if VARIANT in self.features:
            raise FamilyFault(f"family {self.family.id!r}: no feature may be called {VARIANT!r}")
        for feature in self.family.features:
            if not feature.forms or MISSING in feature.forms:
                raise FamilyFault(f"feature {feature.id!r}: needs forms, and {MISSING!r} is none")
        for variant in self.family.variants:
            self._check_given(f"variant {variant.id!r}", variant.features, self.carrier_of)
        for outsider in self.family.outsiders:
            own = self.carriers.get(outsider.part)
            known = [f.id for f in own.features] if own else []
            self._check_given(f"outsider {outsider.id!r}", outsider.forms, known)

    def _check_given(self, where: str, given: Mapping[str, tuple[str, ...]], known: Iterable[str]) -> None:
        for question, forms in given.items():
            if question not in known:
                raise UnknownQuestion(question, known, where)
            if not forms or MISSING in forms:
                raise FamilyFault(f"{where}: {question!r} needs forms, and {MISSING!r} is none")
            self.check_states(question, forms, f"{where}, {question}")

    def _in_order(self) -> tuple[Feature, ...]:
        """Derived features, each after those that it reads."""
        order: list[Feature] = []
        for feature in self.family.features:
            if feature.derived:
                self._place(feature, (), order)
        return tuple(order)

    def _place(self, feature: Feature, above: tuple[str, ...], order: list[Feature]) -> None:
        if feature.id in above:
            raise FamilyFault(f"derived features in a circle: {' -> '.join((*above, feature.id))}")
        if feature.id in self._base:
            return
        where = f"derived feature {feature.id!r}"
        self.check_states(feature.id, (form for form, _ in feature.derived), where)
        read: set[str] = set()
        for _, clause in feature.derived:
            if clause is None:
                continue
            self.check(clause, where)
            for question in sorted(questions_of(clause)):
                self._place(self.features[question], (*above, feature.id), order)
                read |= self._base[question]
        self._base[feature.id] = frozenset(read)
        order.append(feature)


def _by_id(things: Iterable[Named], kind: str) -> dict[str, Named]:
    found: dict[str, Named] = {}
    for thing in things:
        if thing.id in found:
            raise FamilyFault(f"{kind} {thing.id!r} stands twice")
        found[thing.id] = thing
    return found


def _carriers(features: Iterable[Feature]) -> dict[str, Carrier]:
    groups: dict[str, list[Feature]] = {}
    for feature in features:
        if not feature.derived:
            groups.setdefault(feature.carrier, []).append(feature)
    return {name: _carrier(name, tuple(members)) for name, members in groups.items()}


def _carrier(name: str, features: tuple[Feature, ...]) -> Carrier:
    """One feature said to be swapped, or to be missing at times, says it of the whole part."""
    swapped = any(feature.swapped != "never" for feature in features)
    return Carrier(name, features, swapped, swapped and any(feature.missing for feature in features))
