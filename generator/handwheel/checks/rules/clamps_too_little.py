"""A tightening that does not reach the clamp force that the joint needs.

What it proves:
    Where a fastener tells what clamp force its joint needs, a torque in figures reaches it with the most friction of an
    oiled thread, and the least torque that does lies under the one at which the first thing gives way. Torques
    above the window are another rule's.

Why it matters at the bench:
    A screw that holds on the day shakes loose on the next machine, and what it held lies in the works.

Failing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], thread: m4, length: 8 mm, grip: 2 mm, hole_depth: 8 mm, slot_length: 7 mm, tighten: 0.2 N m, needs_clamp: {force: 500 N, source: bench-notes}, source: bench-notes}

Passing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], thread: m4, length: 8 mm, grip: 2 mm, hole_depth: 8 mm, slot_length: 7 mm, tighten: 0.7 N m, needs_clamp: {force: 500 N, source: bench-notes}, source: bench-notes}

How to mend it:
    Look torque and clamp force up again. Where no torque both holds and spares, the joint is held by something else:
    a better thread, a longer screw, or a lock that needs no clamp.

Sources:
    Long-form torque as in Shigley's Mechanical Engineering Design, 9th ed., eq. (8-26). Friction of old oiled threads is
    from memory: the true friction may be less, and then the torque clamps more.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.screws import Screw, screws_of, value_of
from handwheel.engineering.tightening import OILED
from handwheel.engineering.window import Window
from handwheel.evidence.screws import window_of
from handwheel.records.library import Library


@rule()
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Torques against the least that clamps."""
    for screw in screws_of(library, machines):
        need = screw.record.needs_clamp
        torque = value_of(screw.tighten)
        if need is None:
            continue
        try:
            found = window_of(library, screw)
        except ValueError as error:
            yield _finding(screw, "needs_clamp", f"the clamp of '{screw.record.id}' cannot be reckoned: {error}")
            continue
        if found.span is None:
            yield _finding(screw, "needs_clamp", _closed(screw, found))
        elif torque is not None and torque < found.low:
            yield _finding(screw, "tighten", _loose(screw, found))


def _loose(screw: Screw, found: Window) -> str:
    assert screw.tighten and screw.record.needs_clamp
    force = screw.record.needs_clamp.force.text
    return (
        f"{screw.tighten.text} for '{screw.record.id}', and {force} of clamp takes {found.clamps.low:.2g} to "
        f"{found.low:.2g} N m (friction {OILED.thread.low:g} to {OILED.thread.high:g}): it may not hold below "
        f"{found.low:.2g} N m"
    )


def _closed(screw: Screw, found: Window) -> str:
    assert screw.record.needs_clamp
    return (
        f"no torque both holds and spares '{screw.record.id}': {screw.record.needs_clamp.force.text} of clamp may take "
        f"{found.low:.2g} N m, and {found.first.what} at {found.high:.2g} N m"
    )


def _finding(screw: Screw, key: str, what: str) -> Finding:
    return Finding(
        place=screw.record.where(key),
        subject=f"fasteners/{screw.record.id}",
        what=what,
        right="torque, clamp force, thread and grip measured again",
        machines=screw.machines,
    )
