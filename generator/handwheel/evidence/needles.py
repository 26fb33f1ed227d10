"""Needle records against the sizes that the engineering floor keeps."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.engineering.needles import (
    ACCEPT,
    BLADE_BASIS,
    BLADES,
    SHANK,
    Size,
    blade_diameter,
    size_of_metric,
)
from handwheel.evidence.standing import Standing, of_citations
from handwheel.evidence.verdict import Outcome, Verdict, both
from handwheel.records.library import Library
from handwheel.records.library_records import Needle
from handwheel.records.values import Amount


def needle_verdicts(library: Library, record: Needle) -> tuple[Verdict, ...]:
    """The pair of numbers, the blade and the shank of a needle."""
    standing = of_citations(library, record.sources)
    told = f"{record.metric}/{record.number}"
    try:
        size = size_of_metric(record.metric)
    except ValueError as error:
        return (Verdict("Number", told, Outcome.DIFFERS, f"from every size: {error}", standing),)
    return (_pair(record, size, told, standing), *_diameters(record, size, standing))


def _pair(record: Needle, size: Size, told: str, standing: Standing) -> Verdict:
    sums = (f"number = 8 + ({size.metric} - 60) / 5 = {8 + (size.metric - 60) / 5:g} below 19",)
    weak = "" if size.basis.standing.may_permit else str(size.basis)
    if size.number == record.number:
        return Verdict("Number", told, Outcome.AGREES, f"with {size} ({size.basis.source})", standing, sums, weak)
    says = f"by {abs(record.number - size.number)}: metric {size.metric} is {size}"
    return Verdict("Number", told, Outcome.DIFFERS, says, standing, sums, weak)


def _diameters(record: Needle, size: Size, standing: Standing) -> Iterator[Verdict]:
    if record.blade is not None:
        if size.number in BLADES:
            yield _diameter("Blade", record.blade, blade_diameter(size), standing)
        else:
            says = f"the standard's diameter was seen for numbers {min(BLADES)} to {max(BLADES)} only"
            yield Verdict("Blade", both(record.blade), Outcome.UNCHECKED, says, standing)
    if record.shank is not None:
        yield _diameter("Shank", record.shank, SHANK, standing)


def _diameter(what: str, amount: Amount, right: float, standing: Standing) -> Verdict:
    assert amount.value is not None
    off = amount.value - right
    sums = (f"{amount.value * 1e3:.4g} - {right * 1e3:.4g} = {off * 1e3:+.3g} mm; {ACCEPT * 1e3:g} mm is let pass",)
    name = f"{right * 1e3:.3g} mm in {BLADE_BASIS.source}"
    if abs(off) <= ACCEPT + 1e-9:
        return Verdict(what, both(amount), Outcome.AGREES, f"with {name}", standing, sums)
    return Verdict(what, both(amount), Outcome.DIFFERS, f"by {abs(off) * 1e3:.3g} mm from {name}", standing, sums)
