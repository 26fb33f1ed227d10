"""Named limits against the codes that the engineering floor keeps."""

from __future__ import annotations

import re

from handwheel.engineering.electric_limits import (
    MILLIAMP,
    MOHM,
    SCHEMES,
    ApplianceClass,
    Lead,
    Limit,
    Quantity,
    limits_for,
)
from handwheel.engineering.lifting_tables import METRIC
from handwheel.evidence.standing import Standing, of_citation
from handwheel.evidence.verdict import Outcome, Verdict
from handwheel.records import library_records as lib
from handwheel.records.library import Library

QUANTITIES = {
    ("MΩ", "at least"): (Quantity.INSULATION, MOHM),
    ("Ω", "at most"): (Quantity.EARTH_BOND, 1.0),
    ("mA", "at most"): (Quantity.LEAKAGE, MILLIAMP),
}
LIFTING = {"kg": ("load constant", METRIC.load), "ratio": ("lifting index of the design goal", 1.0)}
COPPER = 0.0172
"""Resistivity of annealed copper at 20 °C [Ω mm²/m], IEC 60028."""
EARTH_ROUNDING = 0.05
"""Share by which an earth limit with a lead may be rounded: its second figure."""
_COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5}


def limit_verdict(library: Library, record: lib.Limit) -> Verdict:
    """A limit against its counterpart, if one is known."""
    standing = of_citation(library, record.source)
    value = f"{record.sense} {record.value.text} {record.unit}"
    source = library.sources[record.source.source]
    if source.id.startswith("niosh") or "lifting equation" in source.title.casefold():
        return _lifting(record, value, standing)
    found = QUANTITIES.get((record.unit, record.sense))
    scheme = next((each.name for each in SCHEMES if _is_of(source, each.name)), "")
    appliance = _class(f"{record.source.at} {record.name}")
    if found is None or not scheme or appliance is None:
        return Verdict("Limit", value, Outcome.UNCHECKED, _why_not(found, scheme, source.title), standing)
    quantity, unit = found
    lead = _lead(record) if quantity is Quantity.EARTH_BOND else Lead(2.0, 0.0)
    limit = next((each for each in limits_for(quantity, appliance, lead) if each.scheme == scheme), None)
    if limit is None:
        says = f"{scheme} has no {quantity.title} limit for {appliance.value}"
        return Verdict("Limit", value, Outcome.UNCHECKED, says, standing)
    return _against(record, limit, unit, value, standing, lead)


def _against(record: lib.Limit, limit: Limit, unit: float, value: str, standing: Standing, lead: Lead) -> Verdict:
    right = limit.bound / unit
    sums = [f"{limit.scheme}: {right:.3g} {record.unit} ({limit.basis})"]
    if limit.quantity is Quantity.EARTH_BOND and lead.resistance:
        sums.insert(0, f"the lead's earth core: {lead.resistance:.3g} Ω for {lead.length:g} m of copper")
    off = record.value.value - right
    if abs(off) <= (EARTH_ROUNDING if limit.quantity is Quantity.EARTH_BOND else 1e-9) * right:
        return Verdict("Limit", value, Outcome.AGREES, f"with {limit.scheme}", standing, tuple(sums))
    stricter = (off > 0) == limit.at_least
    says = f"by {abs(off):.3g} {record.unit}: {'stricter' if stricter else 'laxer'} than {limit.scheme}"
    return Verdict("Limit", value, Outcome.DIFFERS, says, standing, tuple(sums))


def _lifting(record: lib.Limit, value: str, standing: Standing) -> Verdict:
    known = LIFTING.get(record.unit)
    if known is None:
        return Verdict("Limit", value, Outcome.UNCHECKED, "the lifting equation has no such figure", standing)
    name, right = known
    sums = (f"the {name} is {right:g} {record.unit}",)
    if record.value.value == right:
        return Verdict("Limit", value, Outcome.AGREES, f"with the {name} of the lifting equation", standing, sums)
    says = f"by {record.value.value - right:+.3g} {record.unit} from the {name} of the lifting equation"
    return Verdict("Limit", value, Outcome.DIFFERS, says, standing, sums)


def _is_of(source: lib.Source, scheme: str) -> bool:
    told = f"{source.by} {source.title}".casefold()
    return all(word in told for word in scheme.casefold().split() if word != "and")


def _class(told: str) -> ApplianceClass | None:
    found = re.search(r"\bclass (I{1,3})\b", told, re.IGNORECASE)
    return ApplianceClass(f"Class {found[1].upper()}") if found else None


def _lead(record: lib.Limit) -> Lead:
    """The lead that an earth limit speaks of: its section in the name, its length in words beside the source."""
    section = re.search(r"(\d+(?:\.\d+)?) mm²", record.name)
    length = re.search(r"\b(\d+(?:\.\d+)?|one|two|three|four|five) met(?:re|er)s?", record.source.at)
    if not section or not length:
        return Lead(2.0, 0.0)
    metres = float(_COUNTS.get(length[1], length[1]))
    return Lead(metres, COPPER * metres / float(section[1]))


def _why_not(found: object, scheme: str, title: str) -> str:
    if found is None:
        return "no table here has a limit of this kind"
    if not scheme:
        return f"the figures of {title} are not among the tables here"
    return "which protection class it is for is not told"
