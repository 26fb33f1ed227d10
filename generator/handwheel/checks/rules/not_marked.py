"""An arrangement undone before it was marked.

What it proves:
    Before a step undoes what holds an arrangement, or a setting with `mark_first`, a step has marked it.

Why it matters at the bench:
    Two leads of one colour, a brush and its side, a line that was never scribed: nothing on the bench tells how it
    was.

Failing example:
    settings:
      leads: {name: order of the leads, arrangement: true, held_by: [plate-screw]}
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
          - {do: Lay the leads as tagged., sets: [leads]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, told]}

Passing example:
    settings:
      leads: {name: order of the leads, arrangement: true, held_by: [plate-screw]}
    procedures:
      tagged:
        title: Tag the leads
        steps: [{do: Lay a tag on each lead., marks: [leads]}]
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
          - {do: Lay the leads as tagged., sets: [leads]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [tagged, plate-off, told]}

How to mend it:
    Add a step with `marks:` before it: tag, photograph, scribe.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """An arrangement undone before it was marked."""
    for each in runs.told("not-marked"):
        yield each.finding(f"{each.subject} is undone before it was marked", "a step with marks: before it", joint=True)
