"""The span of years in which the machine was built, as far as the evidence tells."""

from __future__ import annotations

from collections.abc import Iterable

from handwheel.identify.evidence import Evidence
from handwheel.identify.facts import VariantFacts, Years
from handwheel.identify.posterior import ENOUGH, Posterior, credible_set
from handwheel.identify.serials import fits_block
from handwheel.identify.tables import Tables


def years_of(tables: Tables, variant: int, evidence: Evidence) -> Years | None:
    """Years of one variant: its own, cut to the blocks that hold the serial, and to dates on the casting.

    A date on a part that changes hands dates that part alone. Years that contradict each other leave
    the variant's own; None: no years are known.
    """
    facts = tables.subject.of(tables.variants[variant])
    cut = _later(_narrowed(facts.years, _block_years(facts, evidence)), _not_before(tables, evidence))
    return cut or facts.years


def span_of_years(tables: Tables, evidence: Evidence, found: Posterior, enough: float = ENOUGH) -> Years | None:
    """From the first to the last year over the fewest variants that hold `enough` together.

    None where one of them has no years: then the span is not known.
    """
    spans = [years_of(tables, v, evidence) for v in credible_set(found, enough)]
    known = [span for span in spans if span is not None]
    if not known or len(known) < len(spans):
        return None
    return _around(known)


def _block_years(facts: VariantFacts, evidence: Evidence) -> Years | None:
    if evidence.serial is None:
        return None
    read = evidence.serial
    spans = [block.years for block in facts.blocks if fits_block(block, read)]
    known = [span for span in spans if span is not None]
    return _around(known) if known and len(known) == len(spans) else None


def _not_before(tables: Tables, evidence: Evidence) -> int | None:
    fixed = {carrier.id for carrier in tables.carriers if carrier.never_swapped} | {""}
    seen = [m for m in tables.subject.markings if m.id in evidence.markings and m.carried_by in fixed]
    return max((m.not_before for m in seen if m.not_before is not None), default=None)


def _around(spans: Iterable[Years]) -> Years:
    known = list(spans)
    return Years(min(span.first for span in known), max(span.last for span in known))


def _narrowed(span: Years | None, other: Years | None) -> Years | None:
    if span is None or other is None:
        return span or other
    first, last = max(span.first, other.first), min(span.last, other.last)
    return Years(first, last) if first <= last else span


def _later(span: Years | None, first: int | None) -> Years | None:
    if span is None or first is None:
        return span
    return Years(max(span.first, first), span.last) if first <= span.last else span
