"""A question used before it is asked.

What it proves:
    Each finding, choice or reading that decides what is done is answered at an earlier step, on every path.

Why it matters at the bench:
    The page says "if the tyre is flat" and nobody has looked at the tyre.

Failing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - by: tyre-state
            round: nothing
            flat: [{do: Renew the tyre., renews: [tyre]}]
          - {do: Look at the tyre., finds: [tyre-state]}
          - by: tyre-state
            round: nothing
            flat: [{id: new-tyre, do: Renew the tyre., renews: [tyre]}]
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

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
    Move the step that finds, measures or asks it before the first place that reads it.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A question used before it is asked."""
    for each in runs.told("asked-too-late"):
        yield each.finding(
            f"{each.subject} decides here, and is not asked before", "the step that asks it earlier", joint=True
        )
