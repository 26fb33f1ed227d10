"""Every combination of a pattern and the parts that may be on it, one bit each: the product before exceptions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product
from math import prod

from handwheel.machines.conditions import Condition
from handwheel.machines.errors import NotKept, TooMany, UnknownQuestion, UnknownVariant
from handwheel.machines.family import Carrier, FamilyIndex, Forms
from handwheel.machines.masks import VARIANT, evaluate, ones, repeat, spread
from handwheel.machines.questions import Feature

LIMIT = 4_000_000
"""Cells beyond which a space is split; a mask is then half a megabyte."""


@dataclass(frozen=True)
class Axis:
    """One digit of a cell's number: the questions that it answers together, and each way of answering them."""

    questions: tuple[str, ...]
    values: tuple[Forms, ...]
    stride: int
    carrier: str = ""

    def value(self, bit: int) -> Forms:
        """What the cell answers on this axis."""
        return self.values[bit // self.stride % len(self.values)]


class Cells:
    """The product of the patterns (variant with all that is never swapped) and of each part that is swapped.

    Patterns are the lowest digit. Since a part that is swapped may be of any source on
    any variant, every cell of the product is a machine, less what cannot stand.
    """

    def __init__(self, index: FamilyIndex, features: frozenset[str], limit: int = LIMIT) -> None:
        self.index = index
        carriers = index.restricted(features)
        self.axes = _axes(index, carriers, limit)
        self.size = prod(len(axis.values) for axis in self.axes)
        self.full = ones(self.size)
        self._place = {q: (axis, i) for axis in self.axes for i, q in enumerate(axis.questions)}
        self._leaves: dict[tuple[str, str], int] = {}
        self.derived = tuple(feature for feature in index.derived if index.base(feature.id) <= features)
        for feature in self.derived:
            self._leaves.update(self._derive(feature))

    def leaf(self, question: str, state: str) -> int:
        """Cells that show one state of one question (or are of one variant)."""
        found = self._leaves.get((question, state))
        if found is None:
            self._check(question, state)
            found = self._leaves[question, state] = self._pick(question, state)
        return found

    def evaluate(self, condition: Condition) -> int:
        """Cells on which the condition holds."""
        return evaluate(condition, self.full, self.leaf)

    def picked(self, axis: Axis, values: frozenset[Forms]) -> int:
        """Cells whose answers on the axis are among the values."""
        width = axis.stride * len(axis.values)
        block = spread([value in values for value in axis.values], axis.stride)
        return repeat(block, width, self.size // width) if self.size else 0

    def answers(self, bit: int) -> dict[str, str]:
        """What the cell answers to every question that is looked at, the variant included."""
        return {q: form for axis in self.axes for q, form in zip(axis.questions, axis.value(bit), strict=True)}

    def bit_of(self, answers: Mapping[str, str]) -> int | None:
        """The cell that gives these answers, if there is one."""
        bit = 0
        for axis in self.axes:
            value = tuple(answers.get(question, "") for question in axis.questions)
            if value not in axis.values:
                return None
            bit += axis.values.index(value) * axis.stride
        return bit

    def standing(self) -> int:
        """Cells that no clause of `cannot_stand` excludes, of the clauses that can be judged here."""
        clauses = self.index.family.cannot_stand
        reads = self.index.reads_of_clauses
        kept = self._place.keys()
        here = self.full
        for clause, read in zip(clauses, reads, strict=True):
            if read <= kept:
                here &= ~self.evaluate(clause)
        return here

    def _pick(self, question: str, state: str) -> int:
        place = self._place.get(question)
        if place is None:  # a derived feature never shows this state
            return 0
        axis, i = place
        return self.picked(axis, frozenset(value for value in axis.values if value[i] == state))

    def _check(self, question: str, state: str) -> None:
        if question == VARIANT:
            if state not in self.index.variants and state not in self.index.family.elsewhere:
                raise UnknownVariant(state, self.index.variants)
            return
        if question not in self.index.features:
            raise UnknownQuestion(question, self.index.features)
        if question not in self._place and question not in {feature.id for feature in self.derived}:
            raise NotKept(question)
        self.index.check_states(question, (state,))

    def _derive(self, feature: Feature) -> dict[tuple[str, str], int]:
        """First clause that holds gives the form."""
        masks = {(feature.id, form): 0 for form in feature.forms}
        left = self.full
        for form, clause in feature.derived:
            here = left if clause is None else left & self.evaluate(clause)
            masks[feature.id, form] |= here
            left &= ~here
        return masks


def size_of(index: FamilyIndex, features: frozenset[str]) -> int:
    """How many cells the product of these features has, without making it."""
    count, parts = _patterns(index, index.restricted(features))
    return count * prod(len(_values(index, carrier)) for carrier in parts)


def _axes(index: FamilyIndex, carriers: tuple[Carrier, ...], limit: int) -> tuple[Axis, ...]:
    count, parts = _patterns(index, carriers)
    fewest = count * prod(_at_least(index, carrier) for carrier in parts)
    if fewest > limit:  # before anything is listed
        raise TooMany(fewest, limit)
    still = tuple(carrier for carrier in carriers if not carrier.swapped)
    values = [(carrier, _values(index, carrier)) for carrier in parts]
    count *= prod(len(forms) for _, forms in values)
    if count > limit:
        raise TooMany(count, limit)
    axes = [_pattern_axis(index, still)]
    stride = len(axes[0].values)
    for carrier, forms in values:
        axes.append(Axis(tuple(f.id for f in carrier.features), forms, stride, carrier.id))
        stride *= len(forms)
    return tuple(axes)


def _patterns(index: FamilyIndex, carriers: tuple[Carrier, ...]) -> tuple[int, tuple[Carrier, ...]]:
    """How many patterns there are, and the carriers that are swapped."""
    still = [carrier for carrier in carriers if not carrier.swapped]
    count = sum(prod(carrier.size(variant.features) for carrier in still) for variant in index.family.variants)
    return count, tuple(carrier for carrier in carriers if carrier.swapped)


def _pattern_axis(index: FamilyIndex, still: tuple[Carrier, ...]) -> Axis:
    values = [
        ((variant.id,), *forms)
        for variant in index.family.variants
        for forms in product(*(carrier.combinations(variant.features) for carrier in still))
    ]
    questions = (VARIANT, *(feature.id for carrier in still for feature in carrier.features))
    return Axis(questions, tuple(sum(value, ()) for value in values), 1)


def _at_least(index: FamilyIndex, carrier: Carrier) -> int:
    sources = [v.features for v in index.family.variants] + [o.forms for o in index.outsiders(carrier)]
    return max((carrier.size(source) for source in sources), default=0) + carrier.missing


def _values(index: FamilyIndex, carrier: Carrier) -> tuple[Forms, ...]:
    """Everything that the part can show on a machine: of any variant, from outside, or missing."""
    sources = [v.features for v in index.family.variants] + [o.forms for o in index.outsiders(carrier)]
    found = dict.fromkeys(forms for source in sources for forms in carrier.combinations(source))
    if carrier.missing:
        found[carrier.lost] = None
    return tuple(found)
