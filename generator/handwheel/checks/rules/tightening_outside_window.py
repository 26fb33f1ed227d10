"""A tightening at which something gives way.

What it proves:
    A torque that is told for a screw with a head lies under the first of: the screw yields, the thread of its hole
    strips, its own thread strips; reckoned for the least friction of an oiled thread, an unmarked steel screw and
    the weakest metal of that name. It is reckoned where thread, metal of the hole, grip, length and the length of
    the slot, which is taken for the diameter of the head, are known. How much the joint needs at least is not told
    by any record, so the lower end is not judged.

Why it matters at the bench:
    A torque copied wrongly strips a casting that cannot be had again.

Failing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], thread: m4, length: 8 mm, grip: 2 mm, hole_depth: 8 mm, slot_length: 7 mm, tighten: 7 N m, source: bench-notes}

Passing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], thread: m4, length: 8 mm, grip: 2 mm, hole_depth: 8 mm, slot_length: 7 mm, tighten: 0.7 N m, source: bench-notes}

How to mend it:
    Look the torque up again, or measure thread, grip and length. Where nothing was measured, "just nipped" says
    more than a number.

Sources:
    Long-form torque as in Shigley's Mechanical Engineering Design, 9th ed., eq. (8-26); yield as VDI 2230; strip areas
    as FED-STD-H28/2B. Friction of old oiled threads, strength of unmarked old screws and the reserve on castings are
    from memory or common practice: they may lower a limit, and this rule only forbids.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.screws import Screw, screws_of, value_of
from handwheel.engineering.tightening import OILED
from handwheel.engineering.window import Window
from handwheel.evidence import screws as evidence
from handwheel.records.library import Library


@rule("error")
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Torques against the first thing that gives way."""
    for screw in screws_of(library, machines):
        torque = value_of(screw.tighten)
        found = window_of(library, screw)
        if torque is not None and found is not None and torque > found.high:
            yield _finding(screw, found)


def window_of(library: Library, screw: Screw) -> Window | None:
    """The window of a screw as far as its records tell it; None where they do not tell enough."""
    try:
        return evidence.window_of(library, screw)
    except ValueError:
        return None


def _finding(screw: Screw, found: Window) -> Finding:
    assert screw.tighten and screw.into and screw.engagement
    first = found.first
    held = f"{screw.engagement * 1e3:.2g} mm of thread in {screw.into.name}"
    return Finding(
        place=screw.record.where("tighten"),
        subject=f"fasteners/{screw.record.id}",
        what=f"{screw.tighten.text} for '{screw.record.id}', and {first.what} at {found.high:.2g} N m "
        f"({first.arithmetic}; {held}; friction {OILED.thread.low:g} to {OILED.thread.high:g})",
        right=f"at most {found.high:.2g} N m, or thread, grip and length measured again",
        machines=screw.machines,
    )
