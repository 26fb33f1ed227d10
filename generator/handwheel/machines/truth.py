"""Three-valued truth: what a condition is worth for a machine that is known in part."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import prod

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.machine import Known
from handwheel.machines.masks import VARIANT
from handwheel.machines.space import Space

EFFORTS = ("glance", "tool", "strip")

MANY = 5_000
"""Combinations of answers up to which every set of looks is tried."""


@dataclass(frozen=True)
class Always:
    """The condition holds, whatever is still open."""


@dataclass(frozen=True)
class Never:
    """The condition does not hold, whatever is still open."""


@dataclass(frozen=True)
class Depends:
    """The condition hangs on looks still to be taken, the easiest first.

    `variant` among them: only knowing the variant settles it.
    """

    looks: tuple[str, ...]


@dataclass(frozen=True)
class Contradiction:
    """No machine that can stand here shows all this; without any one of the looks, one could.

    Empty looks: there was no machine to begin with.
    """

    looks: tuple[str, ...]


Truth = Always | Never | Depends | Contradiction


def truth(space: Space, condition: Condition, within: int | Known | None = None) -> Truth:
    """What the condition is worth for the machines still possible.

    Args:
        space: Must keep every question of the condition and of what is known.
        condition: Over features only; see `Space.partial` for the rest.
        within: Machines still possible, or what is known; None: nothing is known.
    """
    here = possible(space, within)
    holds = space.mask(condition) & here
    if not here:
        return Contradiction(clash(space, within) if isinstance(within, Known) else ())
    if holds == here:
        return Always()
    if not holds:
        return Never()
    return Depends(settling(space, condition, here))


def clash(space: Space, known: Known) -> tuple[str, ...]:
    """A smallest part of what is known that no machine shows: dropping any one look of it leaves some machine.

    Looks that cost more are dropped first, so that what is named is easy to look at again.
    """
    evidence = _evidence(space, known)
    kept = by_effort(space, evidence)
    for look in reversed(kept):
        others = [other for other in kept if other != look]
        if not _all_of(space, (evidence[other] for other in others)):
            kept = tuple(others)
    return kept


def settling(space: Space, condition: Condition, within: int) -> tuple[str, ...]:
    """The fewest looks that settle the condition on these machines, of equal ones the easiest."""
    return _first_enough(space, looks_to_choose(space, condition), space.mask(condition) & within, within)


def settling_machines(space: Space, looks: Iterable[str], holds: int, within: int) -> tuple[str, ...]:
    """The fewest looks that tell some machines from the others within; the variant where these looks do not."""
    return _first_enough(space, looks_that_tell(space, looks), holds & within, within)


def looks_that_tell(space: Space, looks: Iterable[str]) -> list[tuple[str, ...]]:
    """Lists of looks as in `looks_to_choose`, where it is known which looks tell."""
    own = frozenset(looks)
    wider = (own - {VARIANT} | _of_the_variant(space), own) if VARIANT in own else (own | {VARIANT},)
    return [by_effort(space, each) for each in (own - {VARIANT}, *wider)]


def _first_enough(space: Space, lists: Iterable[tuple[str, ...]], holds: int, within: int) -> tuple[str, ...]:
    for candidates in lists:
        looks = [look for look in candidates if _is_open(space, look, within)]
        if settles(space, looks, holds, within):
            return _fewest(space, looks, holds, within)
    return (VARIANT,)  # not reached: the looks and the variant settle it


def _of_the_variant(space: Space) -> frozenset[str]:
    """Looks at parts that are never exchanged, and so tell what the machine was built as."""
    fixed = (q for q in space.questions if not space.index.features[q].derived)
    return frozenset(q for q in fixed if not space.index.carriers[space.index.carrier_of[q]].swapped)


def looks_to_choose(space: Space, condition: Condition) -> list[tuple[str, ...]]:
    """Lists of looks, each by effort; those that settle the condition are taken from the first that is enough."""
    return [by_effort(space, candidates) for candidates in _candidates(space, condition)]


def settles(space: Space, looks: Iterable[str], holds: int, within: int) -> bool:
    """Whether the answers to the looks, whatever they are, leave no doubt."""
    doubtful = [within]
    for look in looks:
        states = [space.form_mask(look, state) for state in space.states(look)]
        split = (part & state for part in doubtful for state in states)
        doubtful = [part for part in split if part & holds and part & ~holds]
    return not any(part & holds and part & ~holds for part in doubtful)


def by_effort(space: Space, looks: Iterable[str]) -> tuple[str, ...]:
    """Looks from a glance to stripping, those of equal effort in the family's order; the variant last."""
    return tuple(sorted(looks, key=lambda look: _effort(space, look)))


def possible(space: Space, within: int | Known | None) -> int:
    """The machines that a mask or what is known leaves."""
    if within is None:
        return space.all
    return space.known(within) if isinstance(within, Known) else within & space.all


def _effort(space: Space, look: str) -> tuple[int, int]:
    if look == VARIANT:
        return len(EFFORTS), 0
    return EFFORTS.index(space.index.features[look].effort), space.questions.index(look)


def _evidence(space: Space, known: Known) -> dict[str, int]:
    evidence = {question: space.mask(Is(question, forms)) for question, forms in known.forms.items()}
    if known.variants is not None:
        evidence[VARIANT] = space.mask(OfVariant(known.variants))
    return evidence


def _all_of(space: Space, masks: Iterable[int]) -> int:
    here = space.all
    for mask in masks:
        here &= mask
    return here


def _candidates(space: Space, condition: Condition) -> Iterator[frozenset[str]]:
    """Looks to choose from: what the condition reads, then all that tells the variant, then the variant itself."""
    own = space.index.reads(condition)
    yield own
    if _names_variants(space, condition):
        yield own | _of_the_variant(space)
        yield own | {VARIANT}


def _names_variants(space: Space, condition: Condition) -> bool:
    match condition:
        case OfVariant():
            return True
        case Is(question, _):
            derived = space.index.features[question].derived
            return any(clause is not None and _names_variants(space, clause) for _, clause in derived)
        case Not(part):
            return _names_variants(space, part)
        case All(parts) | Any(parts):
            return any(_names_variants(space, part) for part in parts)


def _is_open(space: Space, look: str, within: int) -> bool:
    return sum(1 for state in space.states(look) if space.form_mask(look, state) & within) > 1


def _fewest(space: Space, looks: list[str], holds: int, within: int) -> tuple[str, ...]:
    """By trying every set; where the answers are very many, what is left after dropping all that can be dropped."""
    if prod(len(space.states(look)) for look in looks) > MANY:
        kept = tuple(looks)
        for look in reversed(looks):
            others = tuple(other for other in kept if other != look)
            kept = others if settles(space, others, holds, within) else kept
        return kept
    table = _table(space, looks, holds, within)
    places = range(len(looks))
    core = [i for i in places if not _tells(table, [other for other in places if other != i])]
    spare = [i for i in places if i not in core]
    for size in range(len(spare)):
        enough = [few for extra in combinations(spare, size) if _tells(table, few := [*core, *extra])]
        if enough:
            best = min(enough, key=lambda few: sum(4 ** _effort(space, looks[place])[0] for place in few))
            return tuple(looks[place] for place in sorted(best))
    return tuple(looks)


def _table(space: Space, looks: Sequence[str], holds: int, within: int) -> list[tuple[tuple[str, ...], bool]]:
    """Every combination of answers that a machine gives, with whether the condition holds there; both, if in doubt."""
    parts: list[tuple[tuple[str, ...], int]] = [((), within)]
    for look in looks:
        states = [(state, space.form_mask(look, state)) for state in space.states(look)]
        split = ((answers, state, part & mask) for answers, part in parts for state, mask in states)
        parts = [((*answers, state), part) for answers, state, part in split if part]
    held = [(answers, True) for answers, part in parts if part & holds]
    return held + [(answers, False) for answers, part in parts if part & ~holds]


def _tells(table: list[tuple[tuple[str, ...], bool]], places: Sequence[int]) -> bool:
    """Whether the answers at these places decide the outcome."""
    outcomes: dict[tuple[str, ...], bool] = {}
    return all(outcomes.setdefault(tuple(answers[i] for i in places), held) == held for answers, held in table)
