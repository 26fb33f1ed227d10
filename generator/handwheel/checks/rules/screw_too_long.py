"""A screw that is longer than what it clamps and its hole.

What it proves:
    The length under the head of a screw is not more than what lies under its head (`grip`) and the thread in its hole
    (`hole_depth`) together, on every machine. Set screws, which have no head to clamp with, are left out.

Why it matters at the bench:
    It stands on the ground of its hole and feels tight, while the part under it is loose; or it comes out on the
    other side, where something turns.

Failing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw:
        {name: cover screw, holds: [end-cover], length: 14 mm, grip: 2 mm, hole_depth: 8 mm,
         source: bench-notes}

Passing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw:
        {name: cover screw, holds: [end-cover], length: 9 mm, grip: 2 mm, hole_depth: 8 mm,
         source: bench-notes}

How to mend it:
    Measure again. If it is so, it is the wrong screw in that hole: find the one that belongs there.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.screws import screws_of, value_of
from handwheel.evidence.screws import WITH_HEAD
from handwheel.records.library import Library

ROUNDING = 1e-6
"""Metres that are not worth telling of."""


@rule()
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Length against grip and depth."""
    for screw in screws_of(library, machines):
        record = screw.record
        length, grip, depth = value_of(screw.length), value_of(record.grip), value_of(record.hole_depth)
        if record.kind not in WITH_HEAD or length is None or grip is None or depth is None:
            continue
        over = length - grip - depth
        if over > ROUNDING:
            assert screw.length and record.grip and record.hole_depth
            sum_ = f"{record.grip.text} under the head + {record.hole_depth.text} of thread"
            yield Finding(
                place=record.where("length"),
                subject=f"fasteners/{record.id}",
                what=f"{screw.length.text} is longer than {sum_}, by {over * 1e3:.2g} mm",
                right="all three measured again, or the right screw",
                machines=screw.machines,
            )
