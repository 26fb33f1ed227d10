"""A point that runs dry when the machine is handed over.

What it proves:
    On every machine, each oiling point whose parts were washed or renewed is oiled again before the job ends.

Why it matters at the bench:
    A washed bearing squeals in a week and is scored in a month.

Failing example:
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
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [shaft-off, wash, told]}

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
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [shaft-off, wash, told]}

How to mend it:
    Add a step with `lubricates:` after the last step that dries it, before a cover closes over it.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A point that runs dry when the machine is handed over."""
    for each in runs.told("not-oiled"):
        yield each.finding(
            f"{each.subject} is dry at the end", "a step with lubricates: after the last that dries it", joint=True
        )
