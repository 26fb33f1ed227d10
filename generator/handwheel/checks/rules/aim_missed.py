"""A procedure that does not do what it says it does.

What it proves:
    After a procedure, its `aim` holds on every machine that has it, whatever was found on the way.

Why it matters at the bench:
    Strip and refit made of each other forget the same step together: all is on again at the end, and the part was
    never off.

Failing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - when: {lamp: bracket}
            steps: [{do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate], back: Fit it.}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: plate-off}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, told]}

Passing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate], back: Fit it and tighten.}
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: plate-off}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, told]}

How to mend it:
    Add the step for the machines named, or narrow `when:` of the procedure or the aim to what it is for.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A procedure that does not do what it says it does."""
    for each in runs.told("aim-missed"):
        yield each.finding(
            f"{each.subject} is not as the aim says",
            "the step that brings it about, or an aim that is true",
            joint=True,
        )
