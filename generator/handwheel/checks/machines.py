"""Sets of machines over all families, and words for them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from itertools import product
from operator import or_

from handwheel.machines.alternatives import Split, split
from handwheel.machines.conditions import ALWAYS, All, Any, Condition, questions_of
from handwheel.machines.describe import describe, words
from handwheel.machines.errors import MachinesError
from handwheel.machines.family import FamilyIndex
from handwheel.machines.masks import VARIANT
from handwheel.machines.questions import MISSING
from handwheel.machines.reduce import conjunction, disjunction, reduced
from handwheel.machines.space import Space
from handwheel.procedures.changes import changes_of
from handwheel.procedures.ids import own_steps
from handwheel.procedures.presence import part_present
from handwheel.procedures.wording import state_words
from handwheel.records.families import ABSENT, family_of
from handwheel.records.library import Library

Answers = Mapping[str, str]
UNCHANGED = ""
"""A feature that work may change is as the machine came in with it."""


@dataclass(frozen=True)
class Judged:
    """Alternatives judged on some machines of one family."""

    space: Space
    split: Split
    within: int
    """The machines that they are judged on."""
    answers: Answers
    """What steps were told, where the alternatives ask for it."""


class Machines:
    """All machines of all families that can stand here."""

    def __init__(self, library: Library) -> None:
        self.library = library
        self.faults: dict[str, MachinesError] = {}
        """Family -> why its machines cannot be told."""
        self.beyond: dict[tuple[str, frozenset[str]], MachinesError] = {}
        """Family and questions whose machines cannot be told together, and why."""
        self._indexes: dict[str, FamilyIndex] = {}
        self._spaces: dict[tuple[str, frozenset[str]], Space | None] = {}
        self._where: dict[tuple[Space, Condition], int] = {}
        for family in library.families:
            try:
                self._indexes[family] = FamilyIndex(family_of(library, family))
            except MachinesError as error:
                self.faults[family] = error

    @property
    def families(self) -> tuple[str, ...]:
        """Families whose machines can be told."""
        return tuple(self._indexes)

    def index(self, family: str) -> FamilyIndex:
        """The family made ready."""
        return self._indexes[family]

    def spaces(self, *conditions: Condition) -> Iterator[Space]:
        """All machines of each family, told apart by what the conditions read; none where that is too much."""
        asked = frozenset[str]().union(*map(questions_of, conditions))
        for family in self._indexes:
            space = self.space(family, asked)
            if space is not None:
                yield space

    def space(self, family: str, questions: frozenset[str]) -> Space | None:
        """The machines of a family, told apart by those of the questions that are features."""
        index = self._indexes[family]
        kept = frozenset(question for question in questions if question in index.features)
        if (family, kept) not in self._spaces:
            self._spaces[family, kept] = self._space(family, kept)
        return self._spaces[family, kept]

    def _space(self, family: str, kept: frozenset[str]) -> Space | None:
        try:
            return Space(self._indexes[family], kept)
        except MachinesError as error:
            self.beyond[family, kept] = error
            return None

    def where(self, space: Space, condition: Condition) -> int:
        """The machines of a space on which the condition holds for some answer to what a step asks."""
        found = self._where.get((space, condition))
        if found is None:
            masks = (space.mask(case) for (case,), _ in self._cases(space, (condition,)))
            found = self._where[space, condition] = reduce(or_, masks, 0)
        return found

    def anywhere(self, condition: Condition) -> bool:
        """Whether the condition holds on some machine for some answer, or that cannot be told."""
        spaces = tuple(self.spaces(condition))
        return not spaces or any(self.where(space, condition) for space in spaces)

    def looked(self, condition: Condition) -> Condition:
        """What looking at the machine as it came in tells of the condition.

        A finding or reading may be taken again, and work may change a feature: what hangs on these is taken to hold.
        """
        match condition:
            case All(parts):
                return conjunction(map(self.looked, parts))
            case Any(parts):
                return disjunction(map(self.looked, parts))
            case _:
                return ALWAYS if any(map(self._may_change, questions_of(condition))) else condition

    def _may_change(self, question: str) -> bool:
        feature = self.library.features.get(question)
        if feature is None:
            return ":" not in question
        derived = (q for line in feature.derived if line.when for q in questions_of(line.when.condition))
        return feature.changes_by_work or any(map(self._may_change, derived))

    def judged(self, conditions: Sequence[Condition], within: Condition) -> Iterator[Judged]:
        """Alternatives judged on each family, for each way of answering what they ask."""
        for space in self.spaces(within, *conditions):
            for (here, *each), answers in self._cases(space, (within, *conditions)):
                mask = space.mask(here) & self._may_be_so(space, answers)
                if mask:
                    yield Judged(space, split(space, each, mask), mask, answers)

    def _cases(self, space: Space, conditions: Sequence[Condition]) -> Iterator[tuple[tuple[Condition, ...], Answers]]:
        """The conditions for each way of answering what they ask at steps, so that they read features only."""
        read = frozenset[str]().union(*map(questions_of, conditions))
        asked = {question: states for question in sorted(read) if (states := self._states(space, question))}
        if not asked:
            yield tuple(conditions), {}
            return
        for states in product(*asked.values()):
            answers = {q: state for q, state in zip(asked, states, strict=True) if state != UNCHANGED}
            yield tuple(reduced(space.index, each, answers) for each in conditions), answers

    def _states(self, space: Space, question: str) -> tuple[str, ...]:
        if question in space.index.features:
            new = tuple(form for form in self.changed.get(question, ()) if form not in space.states(question))
            return (UNCHANGED, *new) if new else ()
        return self._asked[question]

    def _may_be_so(self, space: Space, answers: Answers) -> int:
        """Machines on which work can have brought the forms that it is said to have brought: they have the part."""
        mask = space.all
        for question in answers:
            feature = space.index.features.get(question)
            if feature is not None and feature.carried_by:
                present = part_present(self.library, feature.carried_by)
                if questions_of(present) <= frozenset(space.questions):
                    mask &= space.mask(present)
        return mask

    @cached_property
    def changed(self) -> Mapping[str, tuple[str, ...]]:
        """Feature that work changes -> forms that some step gives it."""
        found: dict[str, dict[str, None]] = {}
        for procedure in self.library.procedures.values():
            for step in own_steps(procedure.steps):
                for feature, form in changes_of(self.library, step).items():
                    found.setdefault(feature, {})[form] = None
        return {feature: tuple(forms) for feature, forms in found.items()}

    @cached_property
    def _asked(self) -> Mapping[str, tuple[str, ...]]:
        """States of the questions that a step asks."""
        library = self.library
        found = {each.id: tuple(each.states) for each in library.findings.values()}
        found |= {each.id: tuple(each.states) for each in library.readings.values()}
        return found | dict.fromkeys(library.choices, ("accepted", "declined"))

    def words(self, space: Space, mask: int, within: int | None = None, answers: Answers | None = None) -> str:
        """The machines in words, told apart from the others of `within`; empty where they are all of them."""
        here = space.all if within is None else within
        family = [self.library.families[space.family.id].name] if len(self._indexes) > 1 else []
        every = {question: space.states(question) for question in (*space.questions, VARIANT)}
        named = [words(describe(space, mask, here), self.names, self.groups, every)] if mask & here != here else []
        told = [f"{q.replace('-', ' ')}: {state_words(self.library, q, s)}" for q, s in (answers or {}).items()]
        return "; ".join((*family, *named, *told))

    @cached_property
    def names(self) -> Mapping[tuple[str, str], str]:
        """Words for questions, forms and variants."""
        found: dict[tuple[str, str], str] = {}
        for feature in self.library.features.values():
            found[feature.id, ""] = feature.name or feature.id.replace("-", " ")
            found |= {(feature.id, MISSING): MISSING, (feature.id, ABSENT): "not on this family"}
            found |= {(feature.id, key): form.short or form.name for key, form in feature.forms.items()}
        for variant in self.library.variants.values():
            found[VARIANT, variant.id] = variant.short or variant.name
        for year in self.library.year_cuts:
            cut = f"made:{year}"
            found |= {(cut, ""): "made", (cut, "yes"): f"in {year} or later", (cut, "no"): f"before {year}"}
        return found

    @cached_property
    def groups(self) -> Mapping[str, frozenset[str]]:
        """Groups of variants by name."""
        found = {}
        for group in self.library.groups.values():
            order = [each.id for each in self.library.variants_of(self.library.variants[group.first].family)]
            found[group.name] = frozenset(order[order.index(group.first) : order.index(group.last) + 1])
        return found
