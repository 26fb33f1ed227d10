"""From likelihoods to an answer: how likely each variant is, and whether that settles it.

Ties: probabilities are compared after rounding to nine decimals, halves upwards; of equals the variant
that the family names first comes first. `identify.js` does the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from handwheel.identify.evidence import Evidence
from handwheel.identify.likelihood import Weighed, weigh
from handwheel.identify.possible import possible_variants
from handwheel.identify.tables import Tables
from handwheel.identify.twins import with_twins

Verdict = Literal["nothing seen", "settled", "alike", "fits none", "impossible", "open"]

ENOUGH = 0.95
"""Probability at which the answer is taken as settled."""


@dataclass(frozen=True)
class Posterior:
    """Probabilities by variant, and of 'fits none'; together one, unless the evidence is impossible."""

    variants: tuple[float, ...]
    none: float
    rows: tuple[tuple[float, ...], ...]
    """By history and variant."""
    possible: tuple[bool, ...]
    """Variants of which some machine that can stand here shows all this, no look being wrong."""
    evidence_log: float
    """Logarithm of the probability of the evidence; minus infinity: impossible."""
    weighed: Weighed

    @property
    def ranked(self) -> tuple[int, ...]:
        """Variants by number, the likeliest first."""
        return ranked(self.variants)


def rounded(x: float) -> float:
    """As compared: nine decimals, in units of the ninth, halves upwards."""
    return math.floor(x * 1e9 + 0.5)


def ranked(scores: Sequence[float]) -> tuple[int, ...]:
    """Places from the highest score down; of equals the first comes first."""
    return tuple(sorted(range(len(scores)), key=lambda i: (-rounded(scores[i]), i)))


def posterior(tables: Tables, evidence: Evidence) -> Posterior:
    """How likely each variant is, given what was seen.

    Without evidence these are the priors. Where nothing at all can give rise to the evidence, all
    are zero and `evidence_log` is minus infinity.
    """
    weighed = weigh(tables, evidence)
    highest = max((x for row in weighed.rows for x in row), default=-math.inf)
    if highest == -math.inf:
        nothing = (0.0,) * len(tables.variants)
        rows = (nothing,) * len(tables.histories)
        return Posterior(nothing, 0.0, rows, possible_variants(tables, evidence), highest, weighed)
    raw = with_twins(tables, evidence, [[math.exp(x - highest) for x in row] for row in weighed.rows])
    total = sum(map(sum, raw))
    rows = tuple(tuple(x / total for x in row) for row in raw)
    known = [row for row, none in zip(rows, tables.fits_none, strict=True) if not none]
    none = sum(sum(row) for row, none in zip(rows, tables.fits_none, strict=True) if none)
    return Posterior(
        variants=tuple(map(sum, zip(*known, strict=True))),
        none=none,
        rows=rows,
        possible=possible_variants(tables, evidence),
        evidence_log=highest + math.log(total),
        weighed=weighed,
    )


def alike(tables: Tables) -> tuple[tuple[int, ...], ...]:
    """Variants that no look, marking, serial or measurement can ever tell apart, in classes; alone: a class of one."""
    classes: dict[tuple[object, ...], list[int]] = {}
    for v, variant in enumerate(tables.variants):
        facts = tables.subject.of(variant)
        blocks = frozenset((b.prefix, b.first, b.last, b.suffix, b.gaps) for b in facts.blocks)
        measures = frozenset(facts.measures.items())
        key = (*(group.of_variant[v] for group in tables.groups), blocks, measures)
        classes.setdefault(key, []).append(v)
    return tuple(map(tuple, classes.values()))


@dataclass(frozen=True)
class Judgement:
    """What the posterior amounts to."""

    verdict: Verdict
    variants: tuple[int, ...]
    """What it is settled on, or what is still in play: the fewest variants that hold `enough` together."""
    probability: float
    """Of those variants together, or of 'fits none'."""
    against_all: bool
    """No machine that can stand here shows all this: some look must be wrong, or the library lacks it."""


def judge(tables: Tables, evidence: Evidence, found: Posterior, enough: float = ENOUGH) -> Judgement:
    """Say what is known, and no more.

    Args:
        tables: The family.
        evidence: What was seen.
        found: Its posterior.
        enough: Probability at which the answer is taken as settled.
    """
    against_all = not any(found.possible)
    if found.evidence_log == -math.inf:
        return Judgement("impossible", (), 0.0, against_all)
    credible = credible_set(found, enough)
    if evidence.is_empty:
        return Judgement("nothing seen", credible, sum(found.variants[v] for v in credible), against_all)
    if found.none >= enough:
        return Judgement("fits none", (), found.none, against_all)
    for members in alike(tables):
        together = sum(found.variants[v] for v in members)
        if together >= enough:
            verdict: Verdict = "settled" if len(members) == 1 else "alike"
            return Judgement(verdict, members, together, against_all)
    return Judgement("open", credible, sum(found.variants[v] for v in credible), against_all)


def credible_set(found: Posterior, enough: float = ENOUGH) -> tuple[int, ...]:
    """The fewest variants that hold `enough` of what is not 'fits none', the likeliest first."""
    chosen: list[int] = []
    held, wanted = 0.0, rounded(enough * sum(found.variants))
    for v in found.ranked:
        if chosen and rounded(held) >= wanted:
            break
        chosen.append(v)
        held += found.variants[v]
    return tuple(chosen)
