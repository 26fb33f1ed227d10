"""Naming a set of machines by few forms: "winder geared or friction; on early"."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from handwheel.machines.conditions import NEVER, All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.masks import VARIANT, lowest, union
from handwheel.machines.space import Space
from handwheel.machines.truth import by_effort

MOST = 40
"""Alternatives beyond which a description is no longer read, and no longer made."""

Forms = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Description:
    """Machines by their forms.

    Each alternative maps questions to forms (`variant` to variants): on a machine of it each
    question shows one of its forms. No alternatives: no machine; one with no questions: every machine.
    """

    alternatives: tuple[Forms, ...]
    all_but: bool = False
    """The machines are those that no alternative fits."""
    exact: bool = True
    """False: too many to name; the only alternative fits all of them and others too."""

    @property
    def condition(self) -> Condition:
        """The description as a condition."""
        parts = tuple(_condition(alternative) for alternative in self.alternatives)
        found = parts[0] if len(parts) == 1 else Any(parts) if parts else NEVER
        return Not(found) if self.all_but else found

    @property
    def length(self) -> int:
        """What there is to read: questions and forms, two for each "or" between alternatives and for "all but"."""
        forms = [forms for alternative in self.alternatives for forms in alternative.values()]
        return len(forms) + sum(map(len, forms)) + 2 * (len(self.alternatives) - 1 + self.all_but)


def describe(
    space: Space, mask: int, within: int | None = None, most: int = MOST, unsaid: Collection[str] = ()
) -> Description:
    """The shortest description found of the machines of `mask`, told apart from the others of `within`.

    One question is tried first, then as few as will do, then several alternatives or
    "all but"; exact unless more than `most` alternatives would be needed, or the machines
    cannot be told apart without features that are to stay `unsaid`.
    """
    here = space.all if within is None else within & space.all
    target = mask & here
    found = Describer(space, here, unsaid).describe(target, here & ~target, most)
    wrong = unsaid and found.exact and space.mask(found.condition) & here != target
    return replace(found, exact=False) if wrong else found


class Describer:
    """What describing needs at hand: every question that is open on the machines, with a mask for each form."""

    def __init__(self, space: Space, here: int, unsaid: Collection[str] = ()) -> None:
        self.here = here
        self.masks: dict[str, dict[str, int]] = {}
        said = [q for q in space.questions if space.index.base(q).isdisjoint(unsaid)]
        looks = by_effort(space, (q for q in said if not space.index.features[q].derived))
        for question in (*looks, *(q for q in said if q not in looks), VARIANT):
            shown = {state: space.form_mask(question, state) & here for state in space.states(question)}
            forms = {state: mask for state, mask in shown.items() if mask}
            if len(forms) > 1:
                self.masks[question] = forms

    def describe(self, target: int, rest: int, most: int) -> Description:
        """The target told apart from the rest."""
        if not target:
            return Description(())
        boxes = (self._patterns(target, rest), self._box(target, rest))
        found = [Description((box,)) for box in boxes if box is not None]
        if rest:
            boxes = (self._patterns(rest, target), self._box(rest, target))
            found += [Description((box,), all_but=True) for box in boxes if box is not None]
        if not found or found[0].all_but:
            found += self._covers(target, rest, most)
        if not found:
            return Description((self._around(target),), exact=False)
        return min(found, key=_simplest)

    def _patterns(self, target: int, rest: int) -> Forms | None:
        """The variants, where whole variants are meant and nothing else."""
        if VARIANT not in self.masks:
            return None
        variants = self._forms(VARIANT, target)
        return None if self._union(VARIANT, variants) & rest else {VARIANT: variants}

    def _covers(self, target: int, rest: int, most: int) -> list[Description]:
        """Several alternatives for the target, and all but several if those are fewer."""
        direct = self._cover(target, rest, most)
        around = self._cover(rest, target, most if direct is None else len(direct) - 1)
        pairs = ((False, direct), (True, around))
        return [Description(alternatives, all_but) for all_but, alternatives in pairs if alternatives is not None]

    def _forms(self, question: str, target: int) -> tuple[str, ...]:
        return tuple(form for form, mask in self.masks[question].items() if mask & target)

    def _box(self, target: int, rest: int) -> Forms | None:
        """Fewest questions whose forms on the target together exclude the rest, if any do."""
        forms = {question: self._forms(question, target) for question in self.masks}
        left = {q: rest & union(self.masks[q][form] for form in shown) for q, shown in forms.items()}
        useful = [question for question, mask in left.items() if mask != rest]
        chosen = _fewest(useful, left, rest, {q: len(shown) for q, shown in forms.items()})
        return None if chosen is None else {question: forms[question] for question in chosen}

    def _around(self, target: int) -> Forms:
        """All that can be said of every machine of the target."""
        forms = {question: self._forms(question, target) for question in self.masks}
        return {question: shown for question, shown in forms.items() if len(shown) < len(self.masks[question])}

    def _cover(self, target: int, rest: int, most: int) -> tuple[Forms, ...] | None:
        """Alternatives that together make the target, each as wide as it can be; None: more than `most`."""
        found: list[tuple[Forms, int]] = []
        open_ = target
        while open_:
            if len(found) == most:
                return None
            best = max(self._grown(lowest(open_), rest), key=lambda box: (box[1] & open_).bit_count())
            found.append(best)
            open_ &= ~best[1]
        return tuple(forms for forms, _ in _without_spare(found, target))

    def _grown(self, bit: int, rest: int) -> Iterator[tuple[Forms, int]]:
        """Boxes around one machine that hold nothing of the rest, by dropping questions in several orders."""
        orders = [list(self.masks), list(reversed(self.masks))]
        orders += [orders[0][i:] + orders[0][:i] for i in range(1, min(len(self.masks), 8))]
        for order in orders:
            forms = {q: tuple(form for form, mask in self.masks[q].items() if mask >> bit & 1) for q in self.masks}
            box = self._widen(self._drop(forms, order, rest), rest)
            yield box, self._mask(box)

    def _drop(self, forms: dict[str, tuple[str, ...]], order: Sequence[str], rest: int) -> dict[str, tuple[str, ...]]:
        """Leave out every question without which the rest is still excluded."""
        below = [rest]  # of the rest, what the questions still to be tried, from the last one up, let through
        for question in reversed(order):
            below.append(below[-1] & self._union(question, forms[question]))
        kept: dict[str, tuple[str, ...]] = {}
        let_through = rest
        for question in order:
            below.pop()
            if let_through & below[-1]:
                kept[question] = forms[question]
                let_through &= self._union(question, forms[question])
        return {question: kept[question] for question in self.masks if question in kept}

    def _widen(self, forms: dict[str, tuple[str, ...]], rest: int) -> Forms:
        """Add every form to a question that lets nothing of the rest in."""
        for question in forms:
            let_through = rest
            for other, shown in forms.items():
                if other != question:
                    let_through &= self._union(other, shown)
            forms[question] = tuple(f for f, mask in self.masks[question].items() if not mask & let_through)
        return forms

    def _union(self, question: str, forms: Sequence[str]) -> int:
        return union(self.masks[question][form] for form in forms)

    def _mask(self, box: Forms) -> int:
        mask = self.here
        for question, forms in box.items():
            mask &= self._union(question, forms)
        return mask


def words(
    description: Description,
    names: Mapping[tuple[str, str], str] | None = None,
    groups: Mapping[str, frozenset[str]] | None = None,
    every: Mapping[str, Sequence[str]] | None = None,
) -> str:
    """A description in plain words.

    Args:
        description: What to say.
        names: Word by (question, form); by (question, "") for the question itself; by
            ("variant", id) for a variant. The id stands where there is none.
        groups: Names of groups of variants, said instead of the variants where they fit.
        every: All forms of a question, so that a long list of them is said by the few that are not on it.
    """
    if not description.alternatives:
        return "every machine" if description.all_but else "no machine"
    said = [_said(each, names or {}, groups or {}, every or {}) for each in description.alternatives]
    if len(said) == 1 and not said[0]:
        return "no machine" if description.all_but else "every machine"
    text = said[0] if len(said) == 1 else "either " + ", or ".join(said)
    if description.all_but:
        return f"all but {text}"
    return text if description.exact else f"some of: {text}"


def few_of(shown: Sequence[str], every: Sequence[str]) -> tuple[bool, tuple[str, ...]]:
    """Whether to say "other than", and what then to name: the shorter of those shown and those not shown.

    >>> few_of(["a", "b", "c"], ["a", "b", "c", "d"])
    (True, ('d',))
    >>> few_of(["a", "b"], ["a", "b", "c"])
    (False, ('a', 'b'))
    """
    others = tuple(each for each in every if each not in shown)
    return (True, others) if others and len(others) + 1 < len(shown) else (False, tuple(shown))


def _said(
    alternative: Forms,
    names: Mapping[tuple[str, str], str],
    groups: Mapping[str, frozenset[str]],
    every: Mapping[str, Sequence[str]],
) -> str:
    parts = []
    for question, shown in alternative.items():
        if question != VARIANT:
            other, forms = few_of(shown, every.get(question, ()))
            said = _or([names.get((question, form), form) for form in forms])
            parts.append(f"{names.get((question, ''), question)} {'other than ' if other else ''}{said}")
    if VARIANT in alternative:
        variants = alternative[VARIANT]
        group = next((name for name, members in groups.items() if members == frozenset(variants)), "")
        other, few = (False, variants) if group else few_of(variants, every.get(VARIANT, ()))
        said = group or _or([names.get((VARIANT, variant), variant) for variant in few])
        parts.append(f"on {'all but ' if other else ''}{said}")
    return "; ".join(parts)


def _or(said: Sequence[str]) -> str:
    return said[0] if len(said) == 1 else f"{', '.join(said[:-1])} or {said[-1]}"


def _simplest(description: Description) -> tuple[int, bool]:
    """By what there is to read; forms can be looked at, so that variants must be shorter by more than a word."""
    by_variant = any(VARIANT in alternative for alternative in description.alternatives)
    return description.length + by_variant, by_variant


def _condition(alternative: Forms) -> Condition:
    parts = tuple(
        OfVariant(frozenset(forms)) if question == VARIANT else Is(question, frozenset(forms))
        for question, forms in alternative.items()
    )
    return parts[0] if len(parts) == 1 else All(parts)


def _fewest(
    useful: Sequence[str], left: Mapping[str, int], rest: int, cost: Mapping[str, int]
) -> tuple[str, ...] | None:
    """The smallest set of questions that leaves nothing of the rest; up to three by trying, then by dropping."""
    if _left(useful, left, rest):
        return None
    for size in range(4):
        enough = [few for few in combinations(useful, size) if not _left(few, left, rest)]
        if enough:
            return min(enough, key=lambda few: sum(cost[question] for question in few))
    kept = tuple(useful)
    for question in sorted(useful, key=lambda question: -cost[question]):
        others = tuple(other for other in kept if other != question)
        if not _left(others, left, rest):
            kept = others
    return kept


def _left(questions: Sequence[str], left: Mapping[str, int], rest: int) -> int:
    for question in questions:
        rest &= left[question]
    return rest


def _without_spare(found: list[tuple[Forms, int]], target: int) -> list[tuple[Forms, int]]:
    """Leave out alternatives that the others make up for."""
    for box in list(found):
        others = [other for other in found if other is not box]
        if union(mask for _, mask in others) & target == target:
            found = others
    return found
