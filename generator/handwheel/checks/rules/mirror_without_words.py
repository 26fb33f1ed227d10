"""A step of words only that a mirror leaves out.

What it proves:
    Every step that a mirror passes through has an effect that can be turned round, or words for the way back, or is
    left out by name.

Why it matters at the bench:
    "Wedge the wheel" has a way back that nobody has written. The wheel then stays wedged under the cover.

Failing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {id: wheel-kept, do: Keep the wheel still with a wedge.}
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}
      plate-on:
        title: Fit the side plate
        aim: {fitted: [side-plate]}
        steps:
          - {mirror: plate-off}

Passing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {id: wheel-kept, do: Keep the wheel still with a wedge., back: Lift the wedge out.}
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}
      plate-on:
        title: Fit the side plate
        aim: {fitted: [side-plate]}
        steps:
          - {mirror: plate-off}

How to mend it:
    Say `back:` in the step, or `without: [step]` in the mirror where there is nothing to do on the way back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.procedures.program import Program


@rule()
def find(programs: Mapping[str, Program]) -> Iterator[Finding]:
    """Steps that mirrors dropped."""
    for name, program in programs.items():
        for message in program.messages:
            if message.code == "mirror-without-words":
                yield Finding(
                    place=message.place,
                    subject=f"procedures/{name}",
                    what=message.what,
                    right=message.right,
                    related=message.related,
                )
