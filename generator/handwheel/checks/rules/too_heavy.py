"""A lift above what one person may lift while something heavy could come off first.

What it proves:
    Whenever a step lifts a part, the mass of it and of all that still hangs on it is within the limit for the
    number of people that it names.

Why it matters at the bench:
    A head of iron with its motor on is lifted at arm's length, off centre, out of a base. Backs and fingers are
    hurt by it.

Failing example:
    parts:
      motor: {name: motor, mass: 6 kg, sews: false, sources: [bench-notes]}
      table: {name: table, mass: 22 kg, sews: false, rests: true, sources: [bench-notes]}
    fasteners:
      motor-screw: {name: motor screw, holds: [motor, table]}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Lift the table to the bench., lifts: [table]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

Passing example:
    parts:
      motor: {name: motor, mass: 6 kg, sews: false, sources: [bench-notes]}
      table: {name: table, mass: 22 kg, sews: false, rests: true, sources: [bench-notes]}
    fasteners:
      motor-screw: {name: motor screw, holds: [motor, table]}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Lift the table to the bench by two., lifts: [table], people: 2}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    Take the heavy parts off first, or say `people: 2`.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error", safety=True)
def find(runs: Runs) -> Iterator[Finding]:
    """A lift above what one person may lift while something heavy could come off first."""
    for each in runs.told("too-heavy"):
        yield each.finding(
            f"{each.subject} with what hangs on it is more than may be lifted by so few",
            "heavy parts off first, or more people",
            joint=True,
        )
