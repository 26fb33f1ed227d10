"""A part that is to be reached, and no step that takes off what is in front of it.

What it proves:
    Wherever a procedure says `reach:`, on every machine that comes there and as the machine stands there, steps of
    the strip procedures lead to the part: the fewest that do, in an order that can be done. A step under a finding
    does not count, since nobody knows yet whether it will be done.

Why it matters at the bench:
    "Reach the spring" is three words on paper. At the bench there is a cover in front of it, and nothing says how the
    cover comes off, or what it loses when it does. So she guesses, and a line that should have been scribed first is
    gone.

Failing example:
    parts:
      tongue: {name: tongue, behind: [grille], rests: true, sews: false}
      grille: {name: grille, rests: true, sews: false}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {reach: tongue, steps: [{do: Renew the tongue., renews: [tongue]}]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

Passing example:
    parts:
      tongue: {name: tongue, behind: [grille], rests: true, sews: false}
      grille: {name: grille, rests: true, sews: false}
    procedures:
      grille-off:
        title: Take the grille off
        aim: {apart: [grille]}
        steps: [{do: Lift the grille off., removes: [grille], back: Fit the grille.}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {reach: tongue, steps: [{do: Renew the tongue., renews: [tongue]}]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    Write the step that takes it off, in a strip procedure for these machines. If the part is never in the way, mend
    `behind:`.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """Places where a part is to be reached and cannot be."""
    for each in runs.told("no-removal"):
        yield each.finding(
            f"no step takes {each.subject} off, which is in front of what is to be reached here",
            "a step with 'removes:' in a strip procedure",
        )
    for each in runs.told("never-free"):
        yield each.finding(
            f"{each.subject} cannot be reached: whatever is taken off, something stays in front of it",
            "'behind:' without a circle, or a step that takes off one part at a time",
        )
