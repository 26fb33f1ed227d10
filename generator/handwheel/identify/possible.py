"""Which variants still have a machine, among those that can stand here, that shows all that was seen.

No look is taken as wrong here, and no part as coming from a stranger: this is the set of `machines.space`,
found part by part instead of by listing machines.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from handwheel.identify.answers import Seen, answers_given
from handwheel.identify.evidence import CARES, Care, Evidence
from handwheel.identify.likelihood import carrier_sources
from handwheel.identify.tables import Carrier, Group, Tables


def possible_variants(tables: Tables, evidence: Evidence) -> tuple[bool, ...]:
    """By variant, in the family's order."""
    seen = exact_answers(tables, evidence)
    masks = [group_possible(tables, group, seen) for group in tables.groups]
    pairs = list(zip(tables.groups, masks, strict=True))
    return tuple(all(mask[group.of_variant[v]] for group, mask in pairs) for v in range(len(tables.variants)))


def exact_answers(tables: Tables, evidence: Evidence) -> dict[int, list[float]]:
    """What was said of each feature as if no look could be wrong; markings say nothing here."""
    looks = Evidence(looks=evidence.looks)
    never_wrong = dict.fromkeys(CARES, 0.0)
    return answers_given(_with_wrong(tables, never_wrong), looks)


def group_possible(tables: Tables, group: Group, seen: Seen) -> tuple[bool, ...]:
    """By cell: whether a machine that can stand here shows this on the group's parts."""
    parts = [
        _carrier_possible(tables, tables.carriers[number], reads, seen)
        for number, reads in zip(group.carriers, group.reads, strict=True)
    ]
    if not group.allowed:
        return tuple(parts[0][cell[0]][0] for cell in group.cells)
    return tuple(
        any(
            all(part[pattern][k] for part, pattern, k in zip(parts, cell, combo, strict=False))
            for combo in group.allowed[cell[-1]]
        )
        for cell in group.cells
    )


def _carrier_possible(tables: Tables, carrier: Carrier, reads: Sequence[int], seen: Seen) -> list[list[bool]]:
    sources = carrier_sources(tables, carrier, reads, seen)
    if carrier.never_swapped:
        return [[x > 0 for x in own] for own in sources.patterns]
    lost = [sources.missing] if carrier.can_be_lost else []
    anyones = [any(x > 0 for x in column) for column in zip(*sources.patterns, *sources.outsiders, *lost, strict=True)]
    return [anyones for _ in carrier.patterns]


def _with_wrong(tables: Tables, wrong: Mapping[Care, float]) -> Tables:
    return replace(tables, rates=replace(tables.rates, wrong=dict(wrong)))
