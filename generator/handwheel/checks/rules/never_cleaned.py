"""A gummed point that is oiled or left without being cleaned.

What it proves:
    In a job on neglected machines, the parts of each oiling point are washed or renewed before it is oiled.

Why it matters at the bench:
    New oil on old gum swells it: the machine runs stiffer than before.

Failing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Oil the shaft., lubricates: [shaft-point]}
          - {do: Tighten <fasteners pivot-screw> again., sets: [winder-press]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: neglected, procedures: [told]}

Passing example:
    procedures:
      shaft-off:
        title: Take the shaft out
        aim: {apart: [shaft]}
        steps: [{do: Lift the shaft out., removes: [shaft], back: Fit it.}]
      wash:
        title: Wash the shaft
        area: clean
        steps: [{do: Wipe the shaft in the bath., cleans: {shaft: white-spirit}, how: bath}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: shaft-off}
          - {do: Oil the shaft., lubricates: [shaft-point]}
          - {do: Tighten <fasteners pivot-screw> again., sets: [winder-press]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: neglected, procedures: [shaft-off, wash, told]}

How to mend it:
    Wash (`cleans:`) or renew the parts that run there before the oil.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("warning")
def find(runs: Runs) -> Iterator[Finding]:
    """A gummed point that is oiled or left without being cleaned."""
    for each in runs.told("never-cleaned"):
        yield each.finding(
            f"{each.subject} is never cleaned", "a step with cleans: or renews: before the oil", joint=True
        )
