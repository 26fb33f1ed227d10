"""The machines that can stand here: the one definition, on which checks, pages and identification rest.

A machine is its variant and, for each part that carries features, what is on it:
the part it left the works with, one of another variant, one from outside the family, or
none. Less the combinations that the family says cannot stand. Sets of machines are
whole numbers, one bit a machine.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from handwheel.machines.cells import LIMIT, Cells
from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.coupling import closure, ruled_out
from handwheel.machines.dense import DenseCells, worth
from handwheel.machines.errors import DerivedGap, NoSuchMachine, UnknownQuestion, UnknownVariant
from handwheel.machines.family import FamilyIndex
from handwheel.machines.machine import Known, Machine, Origin
from handwheel.machines.masks import VARIANT, bits, union
from handwheel.machines.questions import MISSING, Family
from handwheel.machines.reduce import reduced


class Space:
    """All machines of a family that can stand here, told apart by the questions that are kept.

    Args:
        family: The family, or its index where several spaces are made of one family.
        questions: Questions to be asked; the features that they need are kept, with what
            `cannot_stand` couples to them. None: all. A machine of the space is then a
            class of machines that differ only in what was left out, and stands in the
            space exactly if one of them can stand here.
        limit: Cells beyond which `TooMany` is raised.
    """

    def __init__(self, family: Family | FamilyIndex, questions: Iterable[str] | None = None, limit: int = LIMIT):
        index = family if isinstance(family, FamilyIndex) else FamilyIndex(family)
        self.index = index
        self.family = index.family
        kept = frozenset(index.carrier_of) if questions is None else closure(index, questions)
        cells = Cells(index, kept, limit)
        self.all = cells.standing()
        for variant in ruled_out(index, kept, limit):
            self.all &= ~cells.leaf(VARIANT, variant)
        self._cells: Cells | DenseCells = cells
        if worth(cells, self.all):
            self._cells = DenseCells(cells, self.all)
            self.all = self._cells.full
        self.questions = tuple(f.id for f in self.family.features if f.id in kept or f in self._cells.derived)
        self._memo: dict[Condition, int] = {}
        self._states: dict[str, tuple[str, ...]] = {}
        self._as_built: dict[str, int] = {}
        self._raise_gaps()

    @property
    def size(self) -> int:
        """Length of a mask in bits: machines that can stand here and combinations that cannot."""
        return self._cells.size

    def mask(self, condition: Condition) -> int:
        """The machines that can stand here on which the condition holds."""
        found = self._memo.get(condition)
        if found is None:
            found = self._memo[condition] = self._evaluate(condition)
        return found

    def form_mask(self, question: str, state: str) -> int:
        """The machines that show one state of one question; the question may be the pseudo-question `variant`."""
        return self._cells.leaf(question, state) & self.all

    def variant_mask(self, variant: str) -> int:
        """The machines that were built as the variant."""
        return self.form_mask(VARIANT, variant)

    def as_built(self, variant: str) -> int:
        """The machines on which every part is as the variant left the works with it."""
        if variant not in self._as_built:
            self._as_built[variant] = self._made_as(variant)
        return self._as_built[variant]

    def _made_as(self, variant: str) -> int:
        here = self.variant_mask(variant)
        made = self.index.variants[variant].features
        carriers = {carrier.id: carrier for carrier in self.index.restricted(frozenset(self.questions))}
        for axis in self._cells.axes[1:]:
            here &= self._cells.picked(axis, frozenset(carriers[axis.carrier].combinations(made)))
        return here

    def known(self, known: Known) -> int:
        """The machines that agree with what is known."""
        here = self.all if known.variants is None else self.mask(OfVariant(known.variants))
        for question, forms in known.forms.items():
            here &= self.mask(Is(question, frozenset(forms)))
        return here

    def partial(
        self, condition: Condition, answers: Mapping[str, str], worst: Mapping[str, str] | None = None
    ) -> Condition:
        """The condition with findings, choices and readings answered, so that it reads features only.

        An answer to a feature takes its place too (a kind changed by work), and is followed
        through what is derived from it. `worst` is taken for what has no answer.
        """
        return reduced(self.index, condition, {**(worst or {}), **answers})

    def states(self, question: str) -> tuple[str, ...]:
        """States of a question that some machine shows, in the family's order, `missing` last."""
        found = self._states.get(question)
        if found is None:
            possible = tuple(self.index.variants) if question == VARIANT else self._forms(question)
            found = tuple(state for state in possible if self.form_mask(question, state))
            self._states[question] = found
        return found

    def count(self, mask: int) -> int:
        """How many machines a mask holds."""
        return mask.bit_count()

    def machine(self, bit: int) -> Machine:
        """The machine at one bit."""
        if bit < 0 or not self.all >> bit & 1:
            raise NoSuchMachine(f"no machine that can stand here has number {bit}")
        return self._machine(bit)

    def machines(self, mask: int) -> Iterator[Machine]:
        """The machines of a mask."""
        return map(self._machine, bits(mask & self.all))

    def bit_of(self, machine: Machine) -> int:
        """The bit of a machine; what is derived need not be given."""
        bit = self._cells.bit_of({**machine.forms, VARIANT: machine.variant})
        if bit is None or not self.all >> bit & 1:
            raise NoSuchMachine(f"cannot stand here: {machine}")
        return bit

    def origin(self, machine: Machine, carrier: str) -> Origin:
        """Every way in which the machine can have come by this part, judged by the features that are kept."""
        carriers = {c.id: c for c in self.index.restricted(frozenset(self.questions))}
        if carrier not in carriers:
            raise UnknownQuestion(carrier, carriers, "carrier")
        if machine.variant not in self.index.variants:
            raise UnknownVariant(machine.variant, self.index.variants)
        part = carriers[carrier]
        seen = tuple(machine.forms[feature.id] for feature in part.features)
        makers = tuple(v.id for v in self.family.variants if seen in part.combinations(v.features))
        return Origin(
            original=machine.variant in makers,
            donors=tuple(maker for maker in makers if part.swapped and maker != machine.variant),
            outsiders=tuple(o.id for o in self.index.outsiders(part) if seen in part.combinations(o.forms)),
            missing=part.missing and seen == part.lost,
        )

    def _forms(self, question: str) -> tuple[str, ...]:
        if question not in self.index.features:
            raise UnknownQuestion(question, self.index.features)
        return (*self.index.features[question].forms, MISSING)

    def _evaluate(self, condition: Condition) -> int:
        match condition:
            case Is(question, states):
                return union(self.form_mask(question, state) for state in sorted(states))
            case OfVariant(variants):
                return union(map(self.variant_mask, sorted(variants)))
            case Not(part):
                return self.all & ~self.mask(part)
            case All(parts):
                here = self.all
                for part in parts:
                    here &= self.mask(part)
                return here
            case Any(parts):
                return union(map(self.mask, parts))

    def _machine(self, bit: int) -> Machine:
        forms = self._cells.answers(bit)
        variant = forms.pop(VARIANT)
        for feature in self._cells.derived:
            forms[feature.id] = next(f for f in feature.forms if self._cells.leaf(feature.id, f) >> bit & 1)
        return Machine(variant, {question: forms[question] for question in self.questions})

    def _raise_gaps(self) -> None:
        """Every derived feature must have a form on every machine."""
        for feature in self._cells.derived:
            gap = self.all
            for form in feature.forms:
                gap &= ~self._cells.leaf(feature.id, form)
            if gap:
                raise DerivedGap(feature.id, gap.bit_count(), self._named(feature.id, gap))

    def _named(self, question: str, mask: int) -> tuple[str, ...]:
        """A few machines in words, by what the question rests on."""
        base = self.index.base(question)
        named: dict[str, None] = {}
        for bit in bits(mask):
            answers = self._cells.answers(bit)
            named[", ".join(f"{q} {form}" for q, form in answers.items() if q == VARIANT or q in base)] = None
            if len(named) == 3:
                break
        return tuple(named)
