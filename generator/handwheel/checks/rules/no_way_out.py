"""A repeat that may never end.

What it proves:
    A repeat acts on each state other than the one that ends it, and says what to do when its tries are used up.

Why it matters at the bench:
    Round and round with a spring that is worn out: after some tries another cause has to be looked for.

Failing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - repeat:
              until: {pull: right}
              at_most: 4
              steps:
                - {do: Measure the pull., measures: [pull]}
                - by: pull
                  slack: [{do: Turn the nut.}]
                  tight: nothing
                  right: [{do: Lay the scale down.}]
            otherwise: [{do: Stop and tag the machine., stops: display-only}]
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told], outcomes: {display-only: {may_be: [all]}}}

Passing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - repeat:
              until: {pull: right}
              at_most: 4
              steps:
                - {do: Measure the pull., measures: [pull]}
                - by: pull
                  slack or tight: [{do: Turn the nut.}]
                  right: [{do: Lay the scale down.}]
            otherwise: [{do: Stop and tag the machine., stops: display-only}]
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told], outcomes: {display-only: {may_be: [all]}}}

How to mend it:
    Give it `otherwise:` with a cure or an outcome, and an action in each state that is not yet right.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A repeat that may never end."""
    for each in runs.told("no-way-out"):
        yield each.finding(
            "the repeat has no way out when its tries are used up", "otherwise: with a cure or an outcome", joint=True
        )
    for each in runs.told("never-ends"):
        yield each.finding(
            f"the repeat reads nothing new: {each.subject} is not taken again in it",
            "the step that takes the reading inside the repeat",
            joint=True,
        )
    for each in runs.told("repeat-changes-nothing"):
        yield each.finding("a round of the repeat may look and change nothing", "what to do in that state", joint=True)
