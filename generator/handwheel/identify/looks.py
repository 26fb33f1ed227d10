"""What to look at next, and when to stop.

The worth of a look is the information, in bits, that its answer is expected to give about the variant
('fits none' counting as one more), with swaps, losses and slips counted in: the mutual information of
variant and answer given what was seen. Looks are ranked by bits per second; the rule is a heuristic, which
on unlucky tables can cost any multiple of the best order (Garey & Graham 1974), so `key` measures it against
the best.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from handwheel.identify.answers import Vector
from handwheel.identify.evidence import Evidence
from handwheel.identify.likelihood import Grid, answer_grids, group_grid
from handwheel.identify.posterior import ENOUGH, Judgement, Posterior, judge, rounded
from handwheel.identify.tables import Instrument, Tables
from handwheel.machines.questions import Effort

SECONDS: dict[Effort, float] = {"glance": 20.0, "tool": 120.0, "strip": 900.0}
"""Common practice; each shop sets its own."""

LITTLE = 0.01
"""Bits below which no look is worth its time."""

Stop = Literal["settled", "alike", "fits none", "impossible", "nothing left that tells", ""]


@dataclass(frozen=True)
class Worth:
    """One look that could be taken next."""

    id: str
    """Feature, or `serial`, or a quantity to measure."""
    bits: float
    seconds: float
    chances: tuple[tuple[str, float], ...] = ()
    """For a feature: how likely each answer is."""

    @property
    def score(self) -> float:
        """Bits a second."""
        return self.bits / self.seconds


@dataclass(frozen=True)
class Next:
    """Looks worth taking, the best first, and why to stop if one should."""

    looks: tuple[Worth, ...]
    stop: Stop


@dataclass(frozen=True)
class Plan:
    """What a shop sets: seconds by effort, bits worth a look, probability that is enough."""

    seconds: Mapping[Effort, float] = field(default_factory=lambda: dict(SECONDS))
    little: float = LITTLE
    enough: float = ENOUGH


def next_looks(tables: Tables, evidence: Evidence, found: Posterior, plan: Plan | None = None) -> Next:
    """Rank the looks not yet taken.

    Ties as in `posterior`: scores rounded to nine decimals, then the family's order, serial and quantities last.
    """
    plan = plan or Plan()
    judgement = judge(tables, evidence, found, plan.enough)
    if judgement.verdict == "impossible":
        return Next((), "impossible")
    taken = {look.feature for look in evidence.looks}
    worths = [_trait_worth(tables, found, t, plan) for t in _open_traits(tables, taken)]
    worths += [_instrument_worth(found, i, plan) for i in _open_instruments(tables, evidence)]
    order = sorted(range(len(worths)), key=lambda i: (-rounded(worths[i].score), i))
    confirming = _confirming(tables)
    telling = tuple(w for w in map(worths.__getitem__, order) if w.bits >= least_bits(plan, w.id in confirming))
    return Next(telling, _stop(tables, judgement, telling))


def least_bits(plan: Plan, confirms: bool) -> float:
    """Bits from which a look is worth its time; a look at a casting is cheap beside a wrong name for the machine."""
    return plan.little / 100 if confirms else plan.little


def _stop(tables: Tables, judgement: Judgement, telling: Sequence[Worth]) -> Stop:
    """Why to stop; a variant is not confirmed while a look at a casting may still say that the library lacks it."""
    if judgement.verdict in ("settled", "alike"):
        return "" if any(worth.id in _confirming(tables) for worth in telling) else judgement.verdict
    if judgement.verdict == "fits none":
        return judgement.verdict
    return "" if telling else "nothing left that tells"


def _confirming(tables: Tables) -> frozenset[str]:
    """Looks at what never changes hands for which nothing is taken apart."""
    traits = (tables.traits[t] for carrier in tables.carriers if carrier.never_swapped for t in carrier.traits)
    return frozenset(trait.id for trait in traits if trait.effort != "strip" and not trait.is_marking)


def _open_traits(tables: Tables, taken: Collection[str]) -> list[int]:
    return [i for i, t in enumerate(tables.traits) if not t.is_marking and t.id not in taken]


def _open_instruments(tables: Tables, evidence: Evidence) -> list[Instrument]:
    taken = {measured.quantity for measured in evidence.measured} | ({"serial"} if evidence.serial else set())
    return [instrument for instrument in tables.instruments if instrument.id not in taken]


# ---- features


def _trait_worth(tables: Tables, found: Posterior, trait: int, plan: Plan) -> Worth:
    joint = answer_chances(tables, found, trait)
    answers = tables.traits[trait].answers
    chances = tuple((answer, sum(column)) for answer, column in zip(answers, joint, strict=True))
    return Worth(tables.traits[trait].id, information(joint), plan.seconds[tables.traits[trait].effort], chances)


def answer_chances(tables: Tables, found: Posterior, trait: int) -> list[Vector]:
    """By answer: chance of that answer together with each variant, the last entry with 'fits none'."""
    group = tables.groups[tables.group_of[trait]]
    seen = found.weighed.seen
    before = found.weighed.grids[tables.group_of[trait]] or group_grid(tables, group, seen)
    return [_joint(tables, found, group.of_variant, before, grid) for grid in answer_grids(tables, trait, seen)]


def _joint(tables: Tables, found: Posterior, cells: Sequence[int], before: Grid, after: Grid) -> Vector:
    variants, none = [0.0] * len(tables.variants), 0.0
    for h, row in enumerate(found.rows):
        ratios = [b / a if a > 0 else 0.0 for a, b in zip(before[h], after[h], strict=True)]
        shares = [p * ratios[cell] for p, cell in zip(row, cells, strict=True)]
        if tables.fits_none[h]:
            none += sum(shares)
        else:
            variants = [a + b for a, b in zip(variants, shares, strict=True)]
    return [*variants, none]


def information(joint: Sequence[Vector]) -> float:
    """Mutual information, in bits, of the two sides of a table of probabilities."""
    columns = [sum(column) for column in zip(*joint, strict=True)]
    nats = 0.0
    for row in joint:
        whole = sum(row)
        nats += sum(p * math.log(p / (whole * q)) for p, q in zip(row, columns, strict=True) if p > 0)
    return max(nats, 0.0) / math.log(2)


# ---- serial and quantities


def _instrument_worth(found: Posterior, instrument: Instrument, plan: Plan) -> Worth:
    chances = [*found.variants, found.none]
    wild = sum(p * w for p, w in zip(chances, instrument.wild, strict=True))
    bins = [wild * share for share in instrument.background]
    for p, extra in zip(chances, instrument.extra, strict=True):
        for place, share in extra:
            bins[place] += p * share
    known = sum(p * h for p, h in zip(chances, instrument.entropies, strict=True))
    nats = -sum(share * math.log(share) for share in bins if share > 0) - known
    return Worth(instrument.id, max(nats, 0.0) / math.log(2), plan.seconds[instrument.effort])
