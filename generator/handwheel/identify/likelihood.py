"""How well the evidence fits each variant, part by part.

For one part c of a variant v, in one history h::

    P(seen on c | v, h) = original * A(v) + donor * mean of A over the other variants
                        + outsider * mean of A over the declared outsiders + stranger * A(any form)
                        + missing * A(missing) + kin * A(kin of the variant's pattern),
                                                       A(pattern) = product over the traits of c of
                                                        sum over forms t of P(t | pattern) * L(t)

and L(t) is the chance of the answer given where t is the truth: 1 - e if it is t, else e shared out evenly
among the other answers; an answer "this or that" is the sum over both. Parts are independent given v and h.
Parts tied by `cannot_stand` are summed over the allowed combinations and scaled back to one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from handwheel.identify.answers import Seen, Vector, answers_given, answers_to
from handwheel.identify.apart import apart_from_parts, log_or_never
from handwheel.identify.evidence import Evidence
from handwheel.identify.tables import Carrier, Group, Mix, Tables, Trait

Grid = list[list[float]]
"""By history and cell."""


@dataclass(frozen=True)
class Weighed:
    """Likelihoods by group, and what does not go by parts."""

    evidence: Evidence
    seen: Seen
    grids: tuple[Grid | None, ...]
    """By group; None where nothing of it was seen."""
    apart: tuple[float, ...]
    """By variant: logarithm of the likelihood of serial and measurements."""
    apart_none: float
    rows: tuple[tuple[float, ...], ...]
    """By history and variant: logarithm of prior times likelihood."""


def weigh(tables: Tables, evidence: Evidence) -> Weighed:
    """Judge the evidence against every variant in every history."""
    seen = answers_given(tables, evidence)
    grids = tuple(group_grid(tables, group, seen) if _touches(tables, group, seen) else None for group in tables.groups)
    apart, apart_none = apart_from_parts(tables, evidence)
    rows = _rows(tables, grids, apart, apart_none)
    return Weighed(evidence, seen, grids, apart, apart_none, rows)


def group_grid(tables: Tables, group: Group, seen: Seen) -> Grid:
    """Likelihood of what was seen on a group, by history and cell."""
    parts = [
        carrier_shares(tables, tables.carriers[number], reads, seen)
        for number, reads in zip(group.carriers, group.reads, strict=True)
    ]
    if not group.allowed:
        return [[parts[0][h][cell[0]][0] for cell in group.cells] for h in range(len(tables.histories))]
    grid = [[_tied(tables, group, h, cell, parts) for cell in group.cells] for h in range(len(tables.histories))]
    if not group.scale:
        return grid
    return [list(map(_share, row, scale)) for row, scale in zip(grid, group.scale, strict=True)]


def with_scales(tables: Tables) -> Tables:
    """Add what the combinations that cannot stand take away from each tied group."""
    groups = tuple(
        replace(group, scale=tuple(map(tuple, group_grid(tables, group, {})))) if group.allowed else group
        for group in tables.groups
    )
    return replace(tables, groups=groups)


def carrier_sources(tables: Tables, carrier: Carrier, reads: Sequence[int], seen: Seen) -> Sources:
    """Likelihood of what was seen on a part from each source, split by the forms that `cannot_stand` reads."""
    forms = [_forms_only(tables.traits[t]) for t in carrier.traits]
    return Sources(
        patterns=[_spread(tables, carrier, reads, seen, _rows_of(tables, carrier, p)) for p in carrier.patterns],
        outsiders=[_spread(tables, carrier, reads, seen, _rows_of(tables, carrier, p)) for p in carrier.outsiders],
        stranger=_spread(tables, carrier, reads, seen, forms),
        missing=_spread(tables, carrier, reads, seen, [_missing_only(tables.traits[t]) for t in carrier.traits]),
        kin=[_spread(tables, carrier, reads, seen, _rows_of(tables, carrier, p)) for p in carrier.kin],
    )


@dataclass(frozen=True)
class Sources:
    """Likelihoods of a part by where it comes from; each a vector over the forms read by `cannot_stand`."""

    patterns: list[Vector]
    outsiders: list[Vector]
    stranger: Vector
    missing: Vector
    kin: list[Vector]
    """By pattern, or empty."""

    def kin_of(self) -> list[Vector]:
        """By pattern; nothing where parts have no kin."""
        return self.kin or [[0.0] * len(self.stranger) for _ in self.patterns]

    def donors(self, carrier: Carrier) -> list[Vector]:
        """By pattern: mean over the variants other than the one in hand, all alike."""
        others = sum(carrier.counts) - 1
        if others < 1:
            return [[0.0] * len(self.stranger) for _ in self.patterns]
        columns = zip(*self.patterns, strict=True)
        total = [sum(n * x for n, x in zip(carrier.counts, column, strict=True)) for column in columns]
        return [[max(t - x, 0.0) / others for t, x in zip(total, own, strict=True)] for own in self.patterns]

    def from_outside(self) -> Vector:
        """Mean over the declared outsiders."""
        if not self.outsiders:
            return [0.0] * len(self.stranger)
        return [sum(column) / len(self.outsiders) for column in zip(*self.outsiders, strict=True)]


def mixed(
    mix: Mix, own: Vector, donors: Vector, outside: Vector, stranger: Vector, missing: Vector, kin: Vector
) -> Vector:
    """The part as it may stand here."""
    a, b, c, d, e, f = mix.original, mix.donor, mix.outsider, mix.stranger, mix.missing, mix.kin
    columns = zip(own, donors, outside, stranger, missing, kin, strict=True)
    return [a * o + b * n + c * x + d * s + e * m + f * k for o, n, x, s, m, k in columns]


# ---- one carrier


def carrier_shares(tables: Tables, carrier: Carrier, reads: Sequence[int], seen: Seen) -> list[list[Vector]]:
    """By history and pattern: the part as it may stand here, split by the forms that `cannot_stand` reads."""
    return shares_of(carrier, carrier_sources(tables, carrier, reads, seen))


def shares_of(carrier: Carrier, sources: Sources) -> list[list[Vector]]:
    """By history and pattern: sources mixed."""
    donors, outside, kin = sources.donors(carrier), sources.from_outside(), sources.kin_of()
    return [
        [
            mixed(mix, own, donor, outside, sources.stranger, sources.missing, near)
            for own, donor, near in zip(sources.patterns, donors, kin, strict=True)
        ]
        for mix in carrier.mixes
    ]


def answer_grids(tables: Tables, trait: int, seen: Seen) -> list[Grid]:
    """By answer to one trait: likelihood of that answer together with all that was seen on its group."""
    group = tables.groups[tables.group_of[trait]]
    vectors = answers_to(tables.traits[trait], seen.get(trait), tables.rates.wrong["sure"])
    if group.allowed or trait in seen:
        return [group_grid(tables, group, {**seen, trait: vector}) for vector in vectors]
    carrier = tables.carriers[group.carriers[0]]
    sources = carrier_sources(tables, carrier, (), seen)
    return [_answered(tables.traits[trait], carrier, carrier.traits.index(trait), sources, v) for v in vectors]


def _answered(trait: Trait, carrier: Carrier, place: int, sources: Sources, vector: Vector) -> Grid:
    """One more answer about a part on its own, of which nothing was said before: what is known, times a factor each.

    The same as `group_grid`, without vectors of one: this is where choosing a look spends its time.
    """
    by_row = [sum(a * b for a, b in zip(row, vector, strict=False)) for row in trait.rows]
    own = [x * by_row[p[place]] for (x,), p in zip(sources.patterns, carrier.patterns, strict=True)]
    others = sum(carrier.counts) - 1
    total = sum(n * x for n, x in zip(carrier.counts, own, strict=True))
    donors = [max(total - x, 0.0) / others if others else 0.0 for x in own]
    kits = [x * by_row[p[place]] for (x,), p in zip(sources.outsiders, carrier.outsiders, strict=True)]
    outside = sum(kits) / len(kits) if kits else 0.0
    kin = [x * by_row[p[place]] for (x,), p in zip(sources.kin, carrier.kin, strict=True)] or [0.0] * len(own)
    stranger = sources.stranger[0] * sum(vector[: trait.forms]) / trait.forms
    missing = sources.missing[0] * vector[-1]
    rests = [mix.outsider * outside + mix.stranger * stranger + mix.missing * missing for mix in carrier.mixes]
    return [_mixed_all(mix, own, donors, kin, rest) for mix, rest in zip(carrier.mixes, rests, strict=True)]


def _mixed_all(mix: Mix, own: Vector, donors: Vector, kin: Vector, rest: float) -> Vector:
    original, donor, near = mix.original, mix.donor, mix.kin
    return [original * o + donor * d + near * k + rest for o, d, k in zip(own, donors, kin, strict=True)]


def _rows_of(tables: Tables, carrier: Carrier, pattern: Sequence[int]) -> list[Sequence[float]]:
    return [tables.traits[t].rows[row] for t, row in zip(carrier.traits, pattern, strict=True)]


def _forms_only(trait: Trait) -> Vector:
    return [1 / trait.forms] * trait.forms


def _missing_only(trait: Trait) -> Vector:
    """The distribution on a lost part: all on `missing`; on a part that cannot be lost it is never used."""
    return [0.0] * (len(trait.answers) - 1) + [1.0]


def _spread(
    tables: Tables, carrier: Carrier, reads: Sequence[int], seen: Seen, rows: Sequence[Sequence[float]]
) -> Vector:
    """Likelihood with these distributions: a factor for what is not read, times a vector over what is."""
    factor, vector = 1.0, [1.0]
    for place, (trait, row) in enumerate(zip(carrier.traits, rows, strict=True)):
        said = seen.get(trait)
        if place in reads:
            wide = [*row, *[0.0] * (len(tables.traits[trait].answers) - len(row))]
            weighted = wide if said is None else [a * b for a, b in zip(wide, said, strict=True)]
            vector = [a * b for a in vector for b in weighted]
        elif said is not None:
            factor *= sum(a * b for a, b in zip(row, said, strict=False))
    return [factor * x for x in vector]


# ---- groups


def _touches(tables: Tables, group: Group, seen: Seen) -> bool:
    return any(trait in seen for number in group.carriers for trait in tables.carriers[number].traits)


def _tied(tables: Tables, group: Group, h: int, cell: Sequence[int], parts: Sequence[list[list[Vector]]]) -> float:
    """Sum over the allowed combinations; a variant that the library lacks is bound by none."""
    vectors = [part[h][pattern] for part, pattern in zip(parts, cell, strict=False)]
    if tables.fits_none[h]:
        return math.prod(map(sum, vectors))
    allowed = group.allowed[cell[-1]]
    return sum(math.prod(vector[k] for vector, k in zip(vectors, combo, strict=True)) for combo in allowed)


def _rows(
    tables: Tables, grids: Sequence[Grid | None], apart: Sequence[float], apart_none: float
) -> tuple[tuple[float, ...], ...]:
    rows = []
    for h, (weight, none) in enumerate(zip(tables.histories, tables.fits_none, strict=True)):
        row = [
            log_or_never(weight * prior) + (apart_none if none else apart[v]) for v, prior in enumerate(tables.priors)
        ]
        for group, grid in zip(tables.groups, grids, strict=True):
            if grid is not None:
                logs = [log_or_never(x) for x in grid[h]]
                row = [x + logs[cell] for x, cell in zip(row, group.of_variant, strict=True)]
            elif group.scale and not none:
                dead = [scale <= 0 for scale in group.scale[h]]
                row = [-math.inf if dead[cell] else x for x, cell in zip(row, group.of_variant, strict=True)]
        rows.append(tuple(row))
    return tuple(rows)


def _share(x: float, whole: float) -> float:
    return x / whole if whole > 0 else 0.0
