"""Heat on something that is still wet with a flammable liquid.

What it proves:
    No step warms a part while a flammable agent (`flammable: true`) is on it, or on a part that hangs together with
    it, on any machine that can stand here: between the two there is a `wait:` on what was cleaned, on what carries
    it, or on the head, or the part is renewed. What is wiped or dripped on the machine runs down the head, so the
    head is wet too.

Why it matters at the bench:
    The vapour of a spirit catches fire from a heater, a flame or a spark, some way off and some time after.

Failing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Wipe the side plate., cleans: {side-plate: white-spirit}, how: wipe}
          - {do: Warm the side plate., heats: [side-plate]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

Passing example:
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Wipe the side plate., cleans: {side-plate: white-spirit}, how: wipe}
          - {do: Keep it in moving air until it is dry., wait: {of: [head], for: 2 h}}
          - {do: Warm the side plate., heats: [side-plate]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    Put a step with `wait:` between them, or warm first and clean afterwards. How long is long enough depends on the
    liquid and the room: no smell is no proof.

Sources:
    The definition of flammable liquids by flash point: Regulation (EC) 1272/2008, annex I, 2.6. That a drying time is
    needed before heat is common practice.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error", safety=True)
def find(runs: Runs) -> Iterator[Finding]:
    """Heat on something that is still wet with a flammable liquid."""
    for each in runs.told("heated-wet"):
        yield each.finding(
            f"{each.subject} is warmed while {each.about} is still wet with something flammable",
            "a step with wait: on what was cleaned, between the two",
            joint=True,
        )
