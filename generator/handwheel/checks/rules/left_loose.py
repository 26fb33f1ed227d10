"""A fastener that is still loose or out when the machine is handed over.

What it proves:
    On every machine, each fastener that a job undoes or loosens is tight again before it ends.

Why it matters at the bench:
    A loose screw works its way out in the first hour of sewing, into the hook or onto a bare terminal.

Failing example:
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
          - {do: Fit the side plate., fits: [side-plate], leaves: loose}
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
          - {do: Fit the side plate., fits: [side-plate], leaves: loose}
          - {do: Tighten <fasteners plate-screw>., tightens: [plate-screw]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, told]}

How to mend it:
    Tighten it: by `tightens:`, by fitting the last of its parts without `leaves: loose`, or by setting what it
    holds.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A fastener that is still loose or out when the machine is handed over."""
    for each in runs.told("left-loose"):
        yield each.finding(f"{each.subject} is still loose at the end", "the step that tightens it", joint=True)
