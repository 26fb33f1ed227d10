"""A machine left plugged in at the end of a job.

What it proves:
    Every path of a job leaves a machine that has a mains lead unplugged.

Why it matters at the bench:
    One that is left plugged in is the next person's surprise.

Failing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Look at the lamp.}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

Passing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Look at the lamp.}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    Isolate the machine (`isolates: [mains]`) before it is handed over.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("warning")
def find(runs: Runs) -> Iterator[Finding]:
    """A machine left plugged in at the end of a job."""
    for each in runs.told("left-plugged-in"):
        yield each.finding(
            "the machine is left plugged in", "a step with isolates: [mains] before hand-over", joint=True
        )
