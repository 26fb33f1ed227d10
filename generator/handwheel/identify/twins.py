"""Another pattern, like a known one but for its castings: an explicit hypothesis beside 'two looks were wrong'.

What never changes hands decides. One look at a casting that a variant does not show may be a slip. Two are
slips far more seldom than the rate of a single one squared would have it, for whoever is contradicted looks
again; so part of what speaks for the variant speaks for its unwritten twin.
"""

from __future__ import annotations

from collections.abc import Sequence

from handwheel.identify.answers import answer_mask
from handwheel.identify.evidence import Evidence
from handwheel.identify.tables import Tables

Rows = list[list[float]]
TWICE = 2


def contradictions(tables: Tables, evidence: Evidence) -> list[int]:
    """By variant: sure looks at what never changes hands that its own castings do not give; a checked one is two."""
    counts = [0] * len(tables.variants)
    for look in evidence.looks:
        if not look.forms or look.care == "doubtful":
            continue
        number = tables.trait(look.feature)
        trait = tables.traits[number]
        mask = answer_mask(trait, look.forms)
        carrier = next(c for c in tables.carriers if number in c.traits)
        if not mask or not carrier.never_swapped or trait.is_marking:
            continue
        shown = [any(x > 0 and mask >> i & 1 for i, x in enumerate(row)) for row in trait.rows]
        place = carrier.traits.index(number)
        for v, pattern in enumerate(carrier.of_variant):
            if not shown[carrier.patterns[pattern][place]]:
                counts[v] += 2 if look.care == "checked" else 1
    return counts


def with_twins(tables: Tables, evidence: Evidence, rows: Sequence[Sequence[float]]) -> Rows:
    """Weights by history and variant, with a twin's share in the histories of 'fits none'."""
    made = [list(row) for row in rows]
    unknown = sum(w for w, none in zip(tables.histories, tables.fits_none, strict=True) if none)
    doubted = [v for v, n in enumerate(contradictions(tables, evidence)) if n >= TWICE]
    if not unknown:
        return made
    for v in doubted:
        known = sum(row[v] for row, none in zip(rows, tables.fits_none, strict=True) if not none)
        for row, weight, none in zip(made, tables.histories, tables.fits_none, strict=True):
            row[v] += tables.rates.twin * known * weight / unknown if none else 0.0
    return made


__all__ = ["contradictions", "with_twins"]
