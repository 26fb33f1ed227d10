"""Classes of lubricant against the grades of oils and the consistency numbers of greases."""

from __future__ import annotations

import re

from handwheel.engineering.lubricants import CONSISTENCIES, CONSISTENCY_SEEN, LIGHT_OIL_BASIS, LIGHT_OIL_GRADES, grade
from handwheel.evidence.standing import Standing, of_citations
from handwheel.evidence.verdict import Outcome, Verdict
from handwheel.records.library import Library
from handwheel.records.library_records import Lubricant
from handwheel.records.part_records import OilingPoint


def lubricant_verdicts(library: Library, record: Lubricant) -> tuple[Verdict, ...]:
    """Each grade and consistency number against its standard, and whether it suits the form."""
    standing = of_citations(library, record.sources)
    found = [_grade(each, record, standing) for each in record.vg]
    found += [_consistency(each, record, standing) for each in record.nlgi]
    if not found:
        says = "no viscosity grade and no consistency number is told"
        found = [Verdict("Class", record.name, Outcome.UNCHECKED, says, standing)]
    return tuple(found)


def point_verdict(library: Library, record: OilingPoint) -> Verdict:
    """The lubricant of a point: whether its class is known and checked, and what the point rests on."""
    lubricant: Lubricant = library.of("lubricants")[record.lubricant]
    standing = of_citations(library, (record.source,))
    parts = lubricant_verdicts(library, lubricant)
    wrong = [each for each in parts if each.outcome is Outcome.DIFFERS]
    if wrong:
        return Verdict("Lubricant", lubricant.name, Outcome.DIFFERS, wrong[0].says, standing)
    says = "no standard names a lubricant for a point of an old machine"
    return Verdict("Lubricant", lubricant.name, Outcome.UNCHECKED, says, standing)


def _grade(told: str, record: Lubricant, standing: Standing) -> Verdict:
    if record.form != "oil":
        says = f"from its form: a {record.form} has a consistency number, no viscosity grade"
        return Verdict("Viscosity grade", told, Outcome.DIFFERS, says, standing)
    found = re.fullmatch(r"(?:ISO )?VG (\d{1,5})", told)
    try:
        known = grade(int(found[1])) if found else None
    except ValueError as error:
        return Verdict("Viscosity grade", told, Outcome.DIFFERS, f"from ISO 3448: {error}", standing)
    if known is None:
        return Verdict("Viscosity grade", told, Outcome.DIFFERS, "from ISO 3448, which writes VG 10", standing)
    sums = (
        f"VG {known.number}: {known.least:g} to {known.most:g} mm²/s at 40 °C, {known.middle:g} give or take 10 %",
        _usual(known.number),
    )
    return Verdict("Viscosity grade", told, Outcome.AGREES, f"with a grade of {known.basis.source}", standing, sums)


def _usual(number: int) -> str:
    usual = ", ".join(f"VG {each}" for each in LIGHT_OIL_GRADES)
    inside = "is among" if number in LIGHT_OIL_GRADES else "is not among"
    return f"it {inside} those used on household heads ({usual}): {LIGHT_OIL_BASIS.standing.value}"


def _consistency(told: str, record: Lubricant, standing: Standing) -> Verdict:
    if record.form != "grease":
        says = f"from its form: an {record.form} has a viscosity grade, no consistency number"
        return Verdict("Consistency", told, Outcome.DIFFERS, says, standing)
    known = next((each for each in CONSISTENCIES if told == f"NLGI {each.name}"), None)
    if known is None:
        names = ", ".join(each.name for each in CONSISTENCIES)
        return Verdict("Consistency", told, Outcome.DIFFERS, f"from every class: there are NLGI {names}", standing)
    sums = (f"NLGI {known.name}: worked penetration {known.least} to {known.most} tenths of a millimetre at 25 °C",)
    return Verdict("Consistency", told, Outcome.AGREES, f"with {CONSISTENCY_SEEN.source}", standing, sums)
