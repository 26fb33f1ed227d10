"""A part that nothing holds.

What it proves:
    On each machine that has a part, some fastener holds it, or it rests where it lies, comes along in another part,
    lies in a stack, or is the head.

Why it matters at the bench:
    A part that nothing holds falls out when the head is tipped, or its screw was forgotten, and then no page says
    with which blade it comes off and how tight it goes back.

Failing example:
    parts:
      end-cover: {name: end cover, material: steel}
    procedures:
      cover-off:
        title: Take the end cover off
        aim: {apart: [end-cover]}
        steps:
          - {do: Lift the end cover off., removes: [end-cover]}

Passing example:
    parts:
      end-cover: {name: end cover, material: steel}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover]}
    procedures:
      cover-off:
        title: Take the end cover off
        aim: {apart: [end-cover]}
        steps:
          - {do: Lift the end cover off., removes: [end-cover]}

How to mend it:
    Add the fastener, or say `rests: true`, or `in:` the part that it comes along with.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.machines.conditions import Any
from handwheel.procedures.existence import present
from handwheel.procedures.presence import holders
from handwheel.records.library import Library
from handwheel.records.part_records import PartRecord


@rule()
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Parts against their fasteners, machine by machine."""
    stacked = {layer.part for part in library.parts.values() for layer in part.stack}
    for part in library.parts.values():
        if not (part.root or part.rests or part.inside or part.id in stacked):
            yield from _judge(library, machines, part)


def _judge(library: Library, machines: Machines, part: PartRecord) -> Iterator[Finding]:
    there = present(library, "parts", part.id)
    fasteners = holders(library).get(part.id, ())
    held = Any(tuple(present(library, "fasteners", each) for each in fasteners))
    for space in machines.spaces(there, held):
        here = machines.where(space, there)
        loose = here & ~machines.where(space, held)
        if loose:
            yield Finding(
                place=part.place,
                subject=f"parts/{part.id}",
                what=f"nothing holds '{part.id}'",
                right="a fastener that holds it, 'rests: true', or 'in:' another part",
                machines=machines.words(space, loose, here),
                related=tuple((library.fasteners[each].place, f"'{each}' is not there then") for each in fasteners),
            )
