"""Another pattern, like a known one but for its castings: an explicit hypothesis beside 'the looks were wrong'.

What never changes hands decides. One look at a casting that a variant does not show may be a slip; until another
look at it shows what the variant has, it may as well be another pattern. Two are slips far more seldom than the rate
of a single one squared would have it, for whoever is contradicted looks again. In both cases part of what speaks
for the variant speaks for its unwritten twin.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.identify.answers import answer_mask
from handwheel.identify.evidence import Evidence, Look
from handwheel.identify.tables import Tables

Rows = list[list[float]]
TWICE = 2


def contradictions(tables: Tables, evidence: Evidence) -> list[int]:
    """By variant: sure looks at what never changes hands that its own castings do not give; a checked one is two."""
    return _counts(tables, list(_castings_seen(tables, evidence)))


def doubted(tables: Tables, evidence: Evidence) -> list[bool]:
    """By variant: whether castings contradict it twice, or once and no other look at that casting agrees with it."""
    seen = list(_castings_seen(tables, evidence))
    return [n >= TWICE or (n == 1 and not _settled_by_another(seen, v)) for v, n in enumerate(_counts(tables, seen))]


def with_twins(tables: Tables, evidence: Evidence, rows: Sequence[Sequence[float]]) -> Rows:
    """Weights by history and variant, with a twin's share in the histories of 'fits none'."""
    made = [list(row) for row in rows]
    unknown = sum(w for w, none in zip(tables.histories, tables.fits_none, strict=True) if none)
    if not unknown:
        return made
    for v in (v for v, doubt in enumerate(doubted(tables, evidence)) if doubt):
        known = sum(row[v] for row, none in zip(rows, tables.fits_none, strict=True) if not none)
        for row, weight, none in zip(made, tables.histories, tables.fits_none, strict=True):
            row[v] += tables.rates.twin * known * weight / unknown if none else 0.0
    return made


def _counts(tables: Tables, seen: Sequence[tuple[Look, Sequence[bool]]]) -> list[int]:
    counts = [0] * len(tables.variants)
    for look, shown in seen:
        for v, agrees in enumerate(shown):
            if not agrees:
                counts[v] += 2 if look.care == "checked" else 1
    return counts


def _settled_by_another(seen: Sequence[tuple[Look, Sequence[bool]]], variant: int) -> bool:
    """Whether the one feature that contradicts was also seen as the variant has it."""
    against = {look.feature for look, shown in seen if not shown[variant]}
    return any(look.feature in against and shown[variant] for look, shown in seen)


def _castings_seen(tables: Tables, evidence: Evidence) -> Iterator[tuple[Look, list[bool]]]:
    """Sure looks at what never changes hands, each with the variants, by place, whose own castings give it."""
    for look in evidence.looks:
        if not look.forms or look.care == "doubtful":
            continue
        number = tables.trait(look.feature)
        trait = tables.traits[number]
        mask = answer_mask(trait, look.forms)
        carrier = next(c for c in tables.carriers if number in c.traits)
        lost = mask >> trait.forms  # what is lost speaks against no variant
        if not mask or lost or not carrier.never_swapped or trait.is_marking:
            continue
        gives = [any(x > 0 and mask >> i & 1 for i, x in enumerate(row)) for row in trait.rows]
        place = carrier.traits.index(number)
        yield look, [gives[carrier.patterns[pattern][place]] for pattern in carrier.of_variant]


__all__ = ["contradictions", "doubted", "with_twins"]
