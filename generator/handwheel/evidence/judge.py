"""A record -> the verdicts on its values, whatever its kind."""

from __future__ import annotations

from typing import Any

from handwheel.evidence.blades import blade_verdicts
from handwheel.evidence.limits import limit_verdict
from handwheel.evidence.lubricants import lubricant_verdicts, point_verdict
from handwheel.evidence.needles import needle_verdicts
from handwheel.evidence.readings import reading_verdict, setting_verdict
from handwheel.evidence.screws import fastener_verdicts
from handwheel.evidence.threads import thread_verdicts
from handwheel.evidence.verdict import Verdict
from handwheel.records.library import Library


def verdicts(library: Library, plural: str, record: Any) -> tuple[Verdict, ...]:
    """All values of a record that are recomputed; none for kinds that carry no figures."""
    match plural:
        case "threads":
            return thread_verdicts(library, record)
        case "blades":
            return blade_verdicts(library, record)
        case "fasteners":
            return fastener_verdicts(library, record)
        case "lubricants":
            return lubricant_verdicts(library, record)
        case "oiling_points":
            return (point_verdict(library, record),)
        case "needles":
            return needle_verdicts(library, record)
        case "limits":
            return (limit_verdict(library, record),)
        case "readings":
            return (reading_verdict(library, record),)
        case "settings":
            found = setting_verdict(library, record)
            return (found,) if found else ()
        case _:
            return ()
