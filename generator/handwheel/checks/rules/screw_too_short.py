"""A screw that has too little thread in its hole to hold.

What it proves:
    At least three full turns of a screw's thread stand in its hole: length under the head less what lies under the
    head, and no more than the thread in the hole, against its pitch.

Why it matters at the bench:
    It takes hold, it feels right, and it pulls the first turns out of a hundred-year-old casting.

Failing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw:
        {name: cover screw, holds: [end-cover], thread: m4, length: 4 mm, grip: 2.5 mm, hole_depth: 8 mm,
         source: bench-notes}

Passing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw:
        {name: cover screw, holds: [end-cover], thread: m4, length: 8 mm, grip: 2.5 mm, hole_depth: 8 mm,
         source: bench-notes}

How to mend it:
    Measure length, grip and depth again. If it is so, look for the longer screw that belongs there.

Sources:
    Three turns as the least that is worth tightening: common practice. How much they bear is told by the rule on
    tightening.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.screws import screws_of
from handwheel.evidence.threads import pitch_of
from handwheel.records.library import Library

LEAST = 3
"""Full turns."""
ROUNDING = 1e-6


@rule()
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Turns of thread in the hole."""
    for screw in screws_of(library, machines):
        pitch = pitch_of(screw.thread) if screw.thread else None
        if pitch is None or screw.engagement is None:
            continue
        turns = screw.engagement / pitch
        if turns < LEAST - ROUNDING:
            held = f"{screw.engagement * 1e3:.2g} mm of thread at {pitch * 1e3:.3g} mm a turn"
            yield Finding(
                place=screw.record.where("length"),
                subject=f"fasteners/{screw.record.id}",
                what=f"'{screw.record.id}' holds by {max(turns, 0):.1f} turns ({held}), fewer than {LEAST}",
                right="length, grip and depth measured again, or a longer screw",
                machines=screw.machines,
            )
