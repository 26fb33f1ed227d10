"""An effect that a part must never meet.

What it proves:
    No step brings to a part an effect that a prohibition forbids, on the machines that it holds for.

Why it matters at the bench:
    The shop has learned it once: heat on aluminium, oil on a friction tyre.

Failing example:
    prohibitions:
      no-heat: {effect: heats, part: winder, why: Its pin walks., sources: [practice]}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Wipe the winder with the hot air., heats: [winder]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

Passing example:
    prohibitions:
      no-heat: {effect: heats, part: winder, why: Its pin walks., sources: [practice]}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Wipe the side plate with the hot air., heats: [side-plate]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    Find another way, or narrow the prohibition with `when:` if it does not hold for these machines.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """An effect that a part must never meet."""
    for each in runs.told("prohibited"):
        yield each.finding(
            f"{each.subject} meets what {each.about} forbids",
            "another way, or a prohibition that is narrower",
            joint=True,
        )
