"""A job that does not end with the machine handed over.

What it proves:
    Every path of a job hands the machine over or stops in an outcome.

Why it matters at the bench:
    A machine that no step gives back stays on the shelf, and nobody knows what is still to be done.

Failing example:
    procedures:
      look-at:
        title: Look at it
        steps:
          - {do: Lay the plug in sight., when: {supply: mains}, isolates: [mains]}
          - {do: Look at the lamp.}
    jobs:
      work: {title: The work, start: in-order, procedures: [look-at]}

Passing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Look at the tyre., finds: [tyre-state]}
          - by: tyre-state
            round: nothing
            flat: [{do: Renew the tyre., renews: [tyre]}]
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    End each path with `hands_over: true` or `stops:`.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("warning")
def find(runs: Runs) -> Iterator[Finding]:
    """A job that does not end with the machine handed over."""
    for each in runs.told("never-handed-over"):
        yield each.finding("the machine is never handed over", "a step with hands_over: true, or stops:", joint=True)
