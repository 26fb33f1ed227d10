"""The machines that can stand here as clauses for a SAT solver: a second, independent reading of the words.

Variables: the variant, the form of each feature, and for each part the source that it comes
from. Conditions become clauses by G. S. Tseitin's encoding ("On the complexity of
derivation in propositional calculus", 1968), where each part of a condition gets a variable.
"""

from __future__ import annotations

from collections.abc import Iterable

from pysat.solvers import Minisat22  # type: ignore[import-untyped]

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.questions import MISSING, Family, Feature
from machines.enumeration import parts_of


class Clauses:
    """One family in a solver."""

    def __init__(self, family: Family) -> None:
        self.family = family
        self.solver = Minisat22()
        self.numbers: dict[tuple[str, str], int] = {}
        self.count = 0
        self._one_of(self.number("variant", variant.id) for variant in family.variants)
        for feature in family.features:
            self._one_of(self.number(feature.id, form) for form in (*feature.forms, MISSING))
        for part, features in parts_of(family).items():
            self._sources(part, features)
        for feature in family.features:
            if feature.derived:
                self._derive(feature)
        for clause in family.cannot_stand:
            self.add(-self.literal(clause))

    def number(self, question: str, state: str) -> int:
        """The variable that says that the question has the state."""
        if (question, state) not in self.numbers:
            self.numbers[question, state] = self.new()
        return self.numbers[question, state]

    def new(self) -> int:
        self.count += 1
        return self.count

    def add(self, *literals: int) -> None:
        self.solver.add_clause(list(literals))

    def possible(self, *conditions: Condition) -> bool:
        """Whether some machine meets all the conditions."""
        return bool(self.solver.solve(assumptions=[self.literal(condition) for condition in conditions]))

    def literal(self, condition: Condition) -> int:
        match condition:
            case Is(question, states):
                return self._either([self.number(question, state) for state in states])
            case OfVariant(variants):
                return self._either([self.number("variant", variant) for variant in variants])
            case Not(part):
                return -self.literal(part)
            case Any(parts):
                return self._either([self.literal(part) for part in parts])
            case All(parts):
                return -self._either([-self.literal(part) for part in parts])

    def _either(self, literals: list[int]) -> int:
        new = self.new()
        self.add(-new, *literals)
        for literal in literals:
            self.add(new, -literal)
        return new

    def _one_of(self, numbers: Iterable[int]) -> None:
        several = list(numbers)
        self.add(*several)
        for i, one in enumerate(several):
            for other in several[:i]:
                self.add(-one, -other)

    def _sources(self, part: str, features: list[Feature]) -> None:
        swapped = any(feature.swapped != "never" for feature in features)
        sources = []
        for variant in self.family.variants:
            source = self._source({f.id: variant.features.get(f.id, f.forms) for f in features})
            if not swapped:
                self.add(-source, self.number("variant", variant.id))
            sources.append(source)
        if swapped:
            for outsider in self.family.outsiders:
                if outsider.part == part:
                    sources.append(self._source({f.id: outsider.forms.get(f.id, f.forms) for f in features}))
            if any(feature.missing for feature in features):
                sources.append(self._source({f.id: (MISSING,) for f in features}))
        self.add(*sources)

    def _source(self, forms: dict[str, tuple[str, ...]]) -> int:
        """From this source, each feature has one of its forms there."""
        source = self.new()
        for feature, possible in forms.items():
            self.add(-source, *(self.number(feature, form) for form in possible))
        return source

    def _derive(self, feature: Feature) -> None:
        before: list[int] = []
        for form, clause in feature.derived:
            holds = self._either([]) * -1 if clause is None else self.literal(clause)
            self.add(*before, -holds, self.number(feature.id, form))
            before.append(holds)
