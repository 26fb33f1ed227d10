"""A machine handed over without a test that it needs.

What it proves:
    On every machine and whatever is found, each test that the shop asks for holds at hand-over: nothing was done
    since that wears it out. An outcome may say `untested`.

Why it matters at the bench:
    The owner plugs it in at home. A test done before the last repair says nothing about that repair.

Failing example:
    proofs:
      electrical: {name: electrical test, stale_by: electrical, when: {supply: mains}}
    procedures:
      lamp-off:
        title: Take the lamp off
        aim: {apart: [lamp]}
        steps:
          - when: {lamp: [bracket, stalk]}
            steps:
              - {do: Undo <fasteners lamp-screw> and lift the lamp off., removes: [lamp], back: Fit it and tighten.}
      plug-out:
        title: Pull the plug
        steps:
          - when: {supply: mains}
            steps: [{do: Lay the plug in sight., isolates: [mains]}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: lamp-off}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plug-out, lamp-off, told]}

Passing example:
    proofs:
      electrical: {name: electrical test, stale_by: electrical, when: {supply: mains}}
    procedures:
      lamp-off:
        title: Take the lamp off
        aim: {apart: [lamp]}
        steps:
          - when: {lamp: [bracket, stalk]}
            steps:
              - {do: Undo <fasteners lamp-screw> and lift the lamp off., removes: [lamp], back: Fit it and tighten.}
      plug-out:
        title: Pull the plug
        steps:
          - when: {supply: mains}
            steps: [{do: Lay the plug in sight., isolates: [mains]}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: lamp-off}
          - {do: Measure the insulation and write it down., when: {supply: mains}, proves: [electrical]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plug-out, lamp-off, told]}

How to mend it:
    Do the test (`proves:`) after the last step that wears it out, on every path that hands over.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error", safety=True)
def find(runs: Runs) -> Iterator[Finding]:
    """A machine handed over without a test that it needs."""
    for each in runs.told("handed-over-untested"):
        yield each.finding(
            f"{each.subject} does not hold at hand-over", "the step that proves it, after the last work", joint=True
        )
