"""An agent on something that it harms.

What it proves:
    No step brings a cleaning agent to a material or finish that it harms: not to the part named, nor to anything
    still in it in a bath, nor to the finish that a wiped part drips on. The worst layer governs; `test first` needs
    a test on a hidden spot before.

Why it matters at the bench:
    Spirit takes shellac and transfers off in one wipe, and nothing brings them back. Solvent turns a rubber tyre to
    glue.

Failing example:
    procedures:
      winder-off:
        title: Take the winder off
        aim: {apart: [winder]}
        steps:
          - {do: "Turn <fasteners pivot-screw> to the right and lift the winder off.", removes: [winder], back: Fit it.}
          - {do: Wipe the winder in the bath., cleans: {winder: white-spirit}, how: bath}
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: winder-off}
          - {do: Tighten <fasteners pivot-screw> with the tyre on the wheel., sets: [winder-press]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [winder-off, told]}

Passing example:
    procedures:
      winder-off:
        title: Take the winder off
        aim: {apart: [winder, tyre]}
        steps:
          - {do: "Turn <fasteners pivot-screw> to the right and lift the winder off.", removes: [winder], back: Fit it.}
          - {do: Lift the tyre off., removes: [tyre], back: Fit the tyre.}
          - {do: Wipe the winder in the bath., cleans: {winder: white-spirit}, how: bath}
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: winder-off}
          - {do: Tighten <fasteners pivot-screw> with the tyre on the wheel., sets: [winder-press]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [winder-off, told]}

How to mend it:
    Take the part off first, use another agent, shield what it must not touch (`shields:`), or test first
    (`tests_on:`).
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """An agent on something that it harms."""
    for each in runs.told("agent-harms"):
        yield each.finding(
            f"{each.about} harms {each.subject}", "another agent, or what it harms taken off or shielded", joint=True
        )
    for each in runs.told("not-tested-first"):
        yield each.finding(
            f"{each.about} meets {each.subject} without a test on a hidden spot",
            "a step with tests_on: before it",
            joint=True,
        )
