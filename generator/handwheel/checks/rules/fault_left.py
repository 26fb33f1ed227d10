"""A fault that is found and not cured.

What it proves:
    Whatever is found at a step, each state that is not good is cured on the way (by renewing the part, or
    `becomes:`), or the job ends in an outcome that allows it. What is looked at, or asked of the owner without a
    promise in it, is read by a later step.

Why it matters at the bench:
    The look was taken, the wick was hard, and the machine went back with a hard wick.

Failing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Look at the tyre., finds: [tyre-state]}
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
    Add `by:` the finding with what cures each bad state, or an outcome that stops the job; after a question to the
    owner, `by:` the choice.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A fault that is found and not cured."""
    for each in runs.told("fault-left"):
        yield each.finding(
            f"{each.subject} is found at fault and not cured",
            "what cures it, or an outcome that stops the job",
            joint=True,
        )
    for each in runs.told("nothing-follows"):
        asked = each.violation.subject[0] == "choices"
        yield each.finding(
            f"{each.subject} is {'asked of the owner' if asked else 'looked at'} and nothing follows from it",
            f"by: the {'choice' if asked else 'finding'}, with what to do in each state",
            joint=True,
        )
