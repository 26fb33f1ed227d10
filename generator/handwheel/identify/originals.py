"""What on the machine is not original, given that it is one variant; and which looks are likely wrong.

Given the variant and the history, parts are independent, so the likeliest account of the machine is the
likeliest account of each part. Parts of which nothing was seen are passed over.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from handwheel.identify.answers import Vector
from handwheel.identify.likelihood import carrier_shares, carrier_sources
from handwheel.identify.possible import exact_answers
from handwheel.identify.posterior import Posterior, rounded
from handwheel.identify.tables import Carrier, Group, Tables

Kind = Literal["original", "donor", "outsider", "stranger", "missing", "wrong look"]

KINDS: tuple[Kind, ...] = ("original", "donor", "outsider", "stranger", "missing", "wrong look")


@dataclass(frozen=True)
class PartAccount:
    """One part on one variant: where it comes from."""

    carrier: str
    chances: tuple[tuple[Kind, float], ...]
    """Of each kind, in the order of `KINDS`; a wrong look is one at a part that is original."""
    donors: tuple[str, ...]
    """Variants that the part fits as seen, where it is from a donor."""
    outsiders: tuple[str, ...]
    """Declared parts from outside that it fits as seen."""

    @property
    def likeliest(self) -> Kind:
        """The likeliest kind; of equals the earlier in `KINDS`."""
        return min(self.chances, key=lambda pair: (-rounded(pair[1]), KINDS.index(pair[0])))[0]

    @property
    def not_original(self) -> float:
        """Chance that the part is not the one that it left the works with."""
        return sum(p for kind, p in self.chances if kind not in ("original", "wrong look"))


def accounts(tables: Tables, found: Posterior, variant: int) -> tuple[PartAccount, ...]:
    """An account of each part that was looked at, in the family's order."""
    seen = found.weighed.seen
    numbers = [i for i, carrier in enumerate(tables.carriers) if any(t in seen for t in carrier.traits)]
    return tuple(_account(tables, found, variant, number) for number in numbers)


def changed_parts(tables: Tables, found: Posterior, variant: int) -> tuple[PartAccount, ...]:
    """The likeliest set of parts that are not original."""
    whole = accounts(tables, found, variant)
    return tuple(account for account in whole if account.likeliest not in ("original", "wrong look"))


def doubted_looks(tables: Tables, found: Posterior, top: int = 5, worth: float = 0.2) -> tuple[tuple[str, float], ...]:
    """Parts whose look is likely wrong, with the chance, over the likeliest variants: worth looking at again."""
    chosen = found.ranked[:top]
    whole = sum(found.variants[v] for v in chosen) + found.none
    doubts: dict[str, float] = {}
    for v in chosen:
        if found.variants[v] > 0:
            for account in accounts(tables, found, v):
                chance = dict(account.chances)["wrong look"] * found.variants[v] / whole
                doubts[account.carrier] = doubts.get(account.carrier, 0.0) + chance
    high = [(carrier, chance) for carrier, chance in doubts.items() if chance >= worth]
    return tuple(sorted(high, key=lambda pair: -rounded(pair[1])))


def _account(tables: Tables, found: Posterior, variant: int, number: int) -> PartAccount:
    """Average over the histories, each as likely as it now is for this variant."""
    place = _group_with(tables, number)
    group = tables.groups[place]
    exact = exact_answers(tables, found.weighed.evidence)
    weights = [0.0 if none else row[variant] for row, none in zip(found.rows, tables.fits_none, strict=True)]
    whole = math.fsum(weights) or 1.0
    chances = [0.0] * len(KINDS)
    for h, weight in enumerate(weights):
        if weight > 0:
            kinds = _kinds(tables, found, group, number, variant, h)
            chances = [a + weight / whole * b for a, b in zip(chances, kinds, strict=True)]
    carrier = tables.carriers[number]
    sources = carrier_sources(tables, carrier, (), exact)
    fitting = [k for k, source in enumerate(sources.patterns) if source[0] > 0]
    donors = [v for v, k in enumerate(carrier.of_variant) if k in fitting and v != variant]
    return PartAccount(
        carrier.id,
        tuple(zip(KINDS, chances, strict=True)),
        tuple(tables.variants[v] for v in donors) if not carrier.never_swapped else (),
        tuple(name for name, source in zip(carrier.outsider_ids, sources.outsiders, strict=True) if source[0] > 0),
    )


def _group_with(tables: Tables, number: int) -> int:
    return next(g for g, group in enumerate(tables.groups) if number in group.carriers)


def _kinds(tables: Tables, found: Posterior, group: Group, number: int, variant: int, h: int) -> list[float]:
    """Chances of the kinds for one part, in one history."""
    place = group.carriers.index(number)
    rest = _rest(tables, found, group, place, variant, h)
    carrier, reads = tables.carriers[number], group.reads[place]
    mix, pattern = carrier.mixes[h], carrier.of_variant[variant]
    sources = carrier_sources(tables, carrier, reads, found.weighed.seen)
    right = carrier_sources(tables, carrier, reads, _right_only(tables, found, carrier)).patterns[pattern]
    own = _dot(sources.patterns[pattern], rest)
    own_right = min(_dot(right, rest), own)
    shares = [
        mix.original * own_right,
        mix.donor * _dot(sources.donors(carrier)[pattern], rest),
        mix.outsider * _dot(sources.from_outside(), rest),
        mix.stranger * _dot(sources.stranger, rest),
        mix.missing * _dot(sources.missing, rest),
        mix.original * (own - own_right),
    ]
    whole = sum(shares)
    return [share / whole for share in shares] if whole > 0 else shares


def _right_only(tables: Tables, found: Posterior, carrier: Carrier) -> dict[int, Vector]:
    """What was said, less what only a wrong look explains."""
    exact = exact_answers(tables, found.weighed.evidence)
    said = {}
    for trait in carrier.traits:
        if trait in found.weighed.seen:
            vector = found.weighed.seen[trait]
            allowed = exact.get(trait, vector)
            said[trait] = [x if ok > 0 else 0.0 for x, ok in zip(vector, allowed, strict=True)]
    return said


def _rest(tables: Tables, found: Posterior, group: Group, place: int, variant: int, h: int) -> Vector:
    """What the other parts of the group say of each form of this one that `cannot_stand` reads."""
    if not group.allowed:
        return [1.0]
    cell = group.cells[group.of_variant[variant]]
    vectors = [
        carrier_shares(tables, tables.carriers[number], reads, found.weighed.seen)[h][pattern]
        for number, reads, pattern in zip(group.carriers, group.reads, cell, strict=False)
    ]
    rest = [0.0] * len(vectors[place])
    for combo in group.allowed[cell[-1]]:
        others = (vector[k] for i, (vector, k) in enumerate(zip(vectors, combo, strict=True)) if i != place)
        rest[combo[place]] += math.prod(others)
    return rest


def _dot(left: Sequence[float], right: Sequence[float]) -> float:
    return sum(a * b for a, b in zip(left, right, strict=True))
