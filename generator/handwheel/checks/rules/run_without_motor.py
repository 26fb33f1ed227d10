"""A machine run under power that has no motor.

What it proves:
    No step with `runs: [motor]` is met on a machine that has no part that powers it (`powers: true`). Where no part is
    said to power anything, this cannot be judged.

Why it matters at the bench:
    The page of a hand-crank machine would tell its reader to sew under power, and the test that counts there, by hand,
    would be missing.

Failing example:
    parts:
      motor: {name: motor, when: {lamp: bracket}, material: steel, electrical: true, powers: true}
    fasteners:
      motor-bolt: {name: bolt of the motor, holds: [motor]}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Keep the motor running for a seam., runs: [motor]}
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

Passing example:
    parts:
      motor: {name: motor, when: {lamp: bracket}, material: steel, electrical: true, powers: true}
    fasteners:
      motor-bolt: {name: bolt of the motor, holds: [motor]}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Keep the motor running for a seam., when: {lamp: bracket}, runs: [motor]}
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    Put a `when:` around the step, or `by:` the drive, with a test by hand for the others.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A machine run under power that has no motor."""
    for each in runs.told("nothing-to-run"):
        yield each.finding(
            "the machine is run under power and has no motor",
            "a when: that leaves these machines out, or by: the drive",
            joint=True,
        )
