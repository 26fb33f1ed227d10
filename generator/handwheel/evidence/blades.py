"""Blade records against the tips of the standard, and blades against the slots of their screws."""

from __future__ import annotations

import re

from handwheel.engineering.blades import Blade, NoBlade, blade, blade_for, misfit
from handwheel.evidence.standing import Standing, of_citations
from handwheel.evidence.verdict import Outcome, Verdict, both, compared
from handwheel.records import library_records as lib
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener


def tip_of(record: lib.Blade) -> Blade | None:
    """The tip of the standard that bears the blade's name; None where no standard has it."""
    try:
        return blade(_plain(record.name))
    except NoBlade:
        return None


def blade_verdicts(library: Library, record: lib.Blade) -> tuple[Verdict, ...]:
    """Thickness and width of a blade against the tip of its name."""
    standing = of_citations(library, record.sources)
    try:
        known = blade(_plain(record.name))
    except NoBlade as error:
        return (Verdict("Sizes", record.name, Outcome.UNCHECKED, str(error), standing),)
    name = f"tip {known.name} in {known.basis.source}, {known.basis.locator}"
    pairs = (("Thickness", record.thickness, known.thickness), ("Width", record.width, known.width))
    return tuple(
        compared(what, both(amount), (amount.value, right), name, standing)
        for what, amount, right in pairs
        if amount.value is not None
    )


def slot_verdict(library: Library, record: Fastener, standing: Standing) -> Verdict | None:
    """The blade of a fastener against its slot; None where it has neither."""
    width = record.slot_width.value if record.slot_width else None
    length = record.slot_length.value if record.slot_length else None
    told = library.blades[record.blade].name if record.blade else ""
    if not told and width is None:
        return None
    if width is None or length is None:
        lack = "width" if width is None else "length"
        return Verdict("Blade", told, Outcome.UNCHECKED, f"the {lack} of the slot is not told", standing)
    try:
        return _fits(library, record, width, length, standing)
    except ValueError as error:
        return Verdict("Blade", told, Outcome.UNCHECKED, str(error), standing)


def _fits(library: Library, record: Fastener, width: float, length: float, standing: Standing) -> Verdict:
    slot = f"slot {width * 1e3:.3g} mm wide, {length * 1e3:.3g} mm long"
    best = blade_for(width, length)
    rule = f"{best.name}: up to {best.greatest_thickness * 1e3:.3g} mm thick, {best.width * 1e3:.3g} mm wide"
    if not record.blade:
        return Verdict("Blade", best.name, Outcome.AGREES, f"by the {slot}", standing, (slot, rule))
    named = library.blades[record.blade]
    tip = tip_of(named)
    if tip is None:
        return Verdict("Blade", named.name, Outcome.UNCHECKED, "the blade is in no standard", standing, (slot,))
    if why := misfit(tip, width, length):
        return Verdict("Blade", named.name, Outcome.DIFFERS, f"from the slot: {why}", standing, (slot, rule))
    if tip != best:
        says = f"with the slot, and {best.name} fills it better"
        return Verdict("Blade", named.name, Outcome.AGREES, says, standing, (slot, rule))
    return Verdict("Blade", named.name, Outcome.AGREES, "with the slot", standing, (slot, rule))


def _plain(name: str) -> str:
    return re.sub(r"^blade\s+", "", name)
