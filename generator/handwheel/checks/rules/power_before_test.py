"""Power put back before the electrical test.

What it proves:
    On every machine, no step plugs the machine in after electrical work before the electrical test has been passed
    again.

Why it matters at the bench:
    A lead joined the wrong way makes the whole casting live. The test finds it while nobody has hold of it.

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
          - {mirror: lamp-off}
          - {do: Turn the mains on., when: {supply: mains}, restores: [mains]}
          - {do: Lay the plug in sight., when: {supply: mains}, isolates: [mains]}
          - {do: Measure the insulation and write it down., when: {supply: mains}, proves: [electrical]}
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
          - {mirror: lamp-off}
          - {do: Measure the insulation and write it down., when: {supply: mains}, proves: [electrical]}
          - {do: Turn the mains on., when: {supply: mains}, restores: [mains]}
          - {do: Lay the plug in sight., when: {supply: mains}, isolates: [mains]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plug-out, lamp-off, told]}

How to mend it:
    Put the test (`proves: [electrical]`) between the last electrical work and `restores: [mains]`.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error", safety=True)
def find(runs: Runs) -> Iterator[Finding]:
    """Power put back before the electrical test."""
    for each in runs.told("live-before-test"):
        yield each.finding(
            "the machine is plugged in before its electrical test",
            "the step that proves the test before this one",
            joint=True,
        )
