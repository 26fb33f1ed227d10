"""Something removed, undone or fitted twice.

What it proves:
    Nothing is fitted that is on already, nothing undone that is out already, and no machine handed over twice.

Why it matters at the bench:
    A step that cannot be done makes the next one doubtful: has she missed something, or has the page?

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
          - {mirror: plate-off}
          - {do: Fit the side plate., fits: [side-plate]}
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
    Take one of the two steps out, or say with `when:` for which machines each is.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """Something removed, undone or fitted twice."""
    for each in runs.told("fitted-twice"):
        yield each.finding(f"{each.subject} is on already", "one of the two steps left out", joint=True)
    for each in runs.told("undone-twice"):
        yield each.finding(f"{each.subject} is undone already", "one of the two steps left out", joint=True)
    for each in runs.told("handed-over-twice"):
        yield each.finding("the machine was handed over already", "one hand-over a path", joint=True)
