"""A part that is still off when the machine is handed over.

What it proves:
    On every machine that can stand here, whatever is found on the way, each part that a job takes off is on again
    before it ends; a job that ends in an outcome may leave what the outcome names.

Why it matters at the bench:
    A part in a tray when the owner comes is a machine that does not work, or one with a bare terminal. Strip and
    refit are written apart, often months apart, and a refit that one pattern needs is easily left out.

Failing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., when: {supply: mains}, isolates: [mains]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      look-inside: {title: Look inside, start: in-order, procedures: [plate-off, told]}

Passing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., when: {supply: mains}, isolates: [mains]}
          - {mirror: plate-off}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      look-inside: {title: Look inside, start: in-order, procedures: [plate-off, told]}

How to mend it:
    Add the refit to the job: `mirror:` the procedure that takes the part off, or write steps with `fits:`. If the
    part is meant to stay off in some outcome, say so under `may_be:` of that outcome.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """Parts off at the end."""
    for each in runs.told("left-off"):
        yield each.finding(f"{each.subject} is still off at the end", "the step that fits it again", joint=True)
