"""Hands on something electrical while the plug is in.

What it proves:
    On every machine that can stand here, no step takes off, fits, renews, opens, cleans or oils an electrical part
    while the machine is plugged in, none turns what holds it, and none sets or marks a setting of it. To tag the leads
    of a block is to have the hands at its terminals. A test under power is live on purpose, and says so (`runs`, or a
    proof that is `live`).

Why it matters at the bench:
    Old insulation and bare terminals kill. Isolating is the first act of a job; a step written later, or for one
    pattern only, is easily put before it.

Failing example:
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
      work: {title: The work, start: in-order, procedures: [lamp-off, plug-out, told]}

Passing example:
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

How to mend it:
    Put the step that isolates the mains (`isolates: [mains]`) before it, best as the first act of taking in.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error", safety=True)
def find(runs: Runs) -> Iterator[Finding]:
    """Hands on something electrical while the plug is in."""
    for each in runs.told("live-work"):
        yield each.finding(
            f"{each.subject} is handled while the machine may be plugged in",
            "a step with isolates: [mains] before it",
            joint=True,
        )
