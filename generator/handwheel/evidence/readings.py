"""Settings and readings: their values with both units, and the order of a reading's cuts."""

from __future__ import annotations

import re
from itertools import pairwise

from handwheel.engineering.unit_table import COMMON
from handwheel.engineering.units import format_both
from handwheel.evidence.standing import of_citations
from handwheel.evidence.verdict import Outcome, Verdict
from handwheel.records.library import Library
from handwheel.records.machine_records import Reading
from handwheel.records.part_records import Setting


def in_both(told: str) -> str:
    """A value told in words: with its other unit beside it, if it is a number with a unit that has one.

    >>> in_both("2.4 mm"), in_both("number 4"), in_both("0.25 N")
    ('2.4 mm (0.0945 in)', 'number 4', '0.25 N (0.0562 lbf)')
    """
    found = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s+(\S.*?)\s*", told)
    unit = COMMON.get(found[2]) if found else None
    if found is None or unit is None or unit.factor == 0:
        return told
    value = float(found[1]) * unit.factor + unit.offset
    other = format_both(value, unit.dimension)
    metric, _, inch = other.partition(" (")
    if metric == told or not inch:
        return told if not inch else f"{told} ({inch}"
    return f"{told} ({inch}" if metric.split()[-1] == found[2] else f"{told} = {other}"


def setting_verdict(library: Library, record: Setting) -> Verdict | None:
    """What right is on a setting; None where it is told in words only."""
    if record.target is None:
        return None
    standing = of_citations(library, (record.source,))
    told = dict.fromkeys(in_both(each) for each in record.target.values)
    reading = library.readings.get(record.reading)
    says = "no published figure of it is among the tables here"
    if reading is not None:
        says = f"its reading '{reading.ask}' tells; {says}"
    return Verdict("Right is", " or ".join(told), Outcome.UNCHECKED, says, standing)


def reading_verdict(library: Library, record: Reading) -> Verdict:
    """A reading's cuts: rising, one fewer than its states, in a unit that is known."""
    standing = of_citations(library, (record.source,))
    value = "; ".join(
        dict.fromkeys(", ".join(in_both(f"{cut.text} {record.unit}") for cut in cuts) for cuts in record.cuts.values)
    )
    for cuts in record.cuts.values:
        if len(cuts) + 1 != len(record.states):
            says = f"from its states: {len(cuts)} cuts make {len(cuts) + 1}, and {len(record.states)} are named"
            return Verdict("Cuts", value, Outcome.DIFFERS, says, standing)
        if any(low.value >= high.value for low, high in pairwise(cuts)):
            return Verdict("Cuts", value, Outcome.DIFFERS, "from their order: they do not rise", standing)
    says = "no published figure of it is among the tables here; the cuts rise and match the states"
    return Verdict("Cuts", value, Outcome.UNCHECKED, says, standing)
