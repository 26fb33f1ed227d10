"""A thread that is in no series, and that the shop has not measured.

What it proves:
    Diameter and pitch of every thread are those of some series, for the flank angle that is told, or rest on a
    measurement of the shop.

Why it matters at the bench:
    A mistyped pitch looks like a rare thread. Somebody then orders a tap for it.

Failing example:
    threads:
      odd: {name: odd thread, form: 60 degree, diameter: 4.1 mm, pitch: 0.73 mm, source: {source: sizes, at: table 2}}

Passing example:
    threads:
      odd: {name: odd thread, form: 60 degree, diameter: 4.1 mm, pitch: 0.73 mm, source: bench-notes}

How to mend it:
    Mend diameter, pitch or form, or measure the screw and cite the measurement.

Sources:
    ISO 724, ASME B1.1, BS 84, BS 93 and the lists that the engineering floor names beside its tables.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.screws import value_of
from handwheel.engineering.thread_series import all_threads
from handwheel.evidence.threads import in_series, pitch_of
from handwheel.records.library import Library


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Threads against the series."""
    for thread in library.threads.values():
        diameter, pitch = value_of(thread.diameter), pitch_of(thread)
        source = library.sources[thread.source.source].kind if thread.source else ""
        if diameter is None or pitch is None or source == "shop measurement":
            continue
        if in_series(thread.form, diameter, pitch) is None:
            near = min(all_threads(), key=lambda each: _off(each.diameter, diameter) + _off(each.pitch, pitch))
            sizes = f"{diameter * 1e3:.4g} mm x {pitch * 1e3:.4g} mm, {thread.form}"
            nearest = f"{near} with {near.diameter * 1e3:.4g} mm x {near.pitch * 1e3:.4g} mm"
            yield Finding(
                place=thread.place,
                subject=f"threads/{thread.id}",
                what=f"no series has a thread of {sizes}; the nearest is {nearest}",
                right="other sizes, or a measurement of the shop as its source",
            )


def _off(one: float, other: float) -> float:
    return abs(one - other) / other
