"""Something taken in and not given back.

What it proves:
    Each item that a step takes in is given back before the machine is handed over, and nothing is given back that
    was not taken in.

Why it matters at the bench:
    A key, a bobbin case, the receipt: what is lost in the shop costs the owner's trust.

Failing example:
    items:
      case-key: {name: key of the case}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Lay the key in the tray., takes_in: [case-key]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

Passing example:
    items:
      case-key: {name: key of the case}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Lay the key in the tray., takes_in: [case-key]}
          - {do: Hand the key over., gives_back: [case-key]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    Give it back (`gives_back:`) on every path that ends.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """Something taken in and not given back."""
    for each in runs.told("not-given-back"):
        yield each.finding(
            f"{each.subject} is taken in and not given back", "a step with gives_back: on each path", joint=True
        )
    for each in runs.told("not-taken-in"):
        yield each.finding(
            f"{each.subject} is given back and was not taken in",
            "a step with takes_in: when the machine comes",
            joint=True,
        )
