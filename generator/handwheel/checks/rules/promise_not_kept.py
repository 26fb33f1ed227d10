"""A choice of the owner that is not kept.

What it proves:
    If the owner accepts a choice, what it `means` holds when the machine is handed over.

Why it matters at the bench:
    The owner paid for a cool lamp and finds the old one.

Failing example:
    choices:
      led-lamp: {offer: Fit an LED lamp, when: {lamp: [bracket, stalk]}, means: {bulb: led}}
    procedures:
      plug-out:
        title: Pull the plug
        steps:
          - when: {supply: mains}
            steps: [{do: Lay the plug in sight., isolates: [mains]}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Hand over the offer., when: {lamp: [bracket, stalk]}, asks: [led-lamp]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plug-out, told]}

Passing example:
    choices:
      led-lamp: {offer: Fit an LED lamp, when: {lamp: [bracket, stalk]}, means: {bulb: led}}
    procedures:
      plug-out:
        title: Pull the plug
        steps:
          - when: {supply: mains}
            steps: [{do: Lay the plug in sight., isolates: [mains]}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Hand over the offer., when: {lamp: [bracket, stalk]}, asks: [led-lamp]}
          - when: {lamp: [bracket, stalk]}
            steps:
              - by: led-lamp
                declined: nothing
                accepted: [{do: Fit the LED lamp., renews: {bulb: led}}]
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plug-out, told]}

How to mend it:
    Add `by:` the choice with the steps that keep the promise where it is accepted.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A choice of the owner that is not kept."""
    for each in runs.told("promise-not-kept"):
        yield each.finding(
            f"{each.subject} is accepted and not kept", "the steps that keep it, under by: the choice", joint=True
        )
