"""Alternatives of which none, or more than one, hold once work has changed the machine.

What it proves:
    Along every job, exactly one of each set of alternatives (`one_of`, `by`) holds when the step is reached: on the
    machine as the steps before have made it, which may be none that ever came in.

Why it matters at the bench:
    A new bulb is in, its old base is still written down: the page has nothing to say of such a machine, and she
    stands before it with half the work done.

Failing example:
    features:
      base: {name: base of the bulb, ask: What holds the bulb?, look: In the shade., swapped: often, carried_by: bulb,
        forms: {bayonet: bayonet, clip: clip}}
    variants:
      plover-third: {name: "Plover, third", family: plover, made: {from: 1940}, features: {casting: aluminium,
        lamp: bracket, bulb: filament, base: bayonet, foot: [thumb, snap, hinge]}}
    outsiders:
      led-bulb: {name: LED lamp, part: bulb, forms: {bulb: led, base: clip}}
    procedures:
      bulb-new:
        title: Renew the bulb
        when: {lamp: [bracket, stalk]}
        steps:
          - {do: Lay the plug in sight., isolates: [mains]}
          - {do: Renew the bulb., when: {bulb: filament}, renews: {bulb: led}}
          - one_of:
              - when: {bulb: filament}
                steps: [{do: Keep the old shade.}]
              - when: {bulb: led, base: clip}
                steps: [{do: Keep the new clip.}]

Passing example:
    features:
      base: {name: base of the bulb, ask: What holds the bulb?, look: In the shade., swapped: often, carried_by: bulb,
        forms: {bayonet: bayonet, clip: clip}}
    variants:
      plover-third: {name: "Plover, third", family: plover, made: {from: 1940}, features: {casting: aluminium,
        lamp: bracket, bulb: filament, base: bayonet, foot: [thumb, snap, hinge]}}
    outsiders:
      led-bulb: {name: LED lamp, part: bulb, forms: {bulb: led, base: clip}}
    procedures:
      bulb-new:
        title: Renew the bulb
        when: {lamp: [bracket, stalk]}
        steps:
          - {do: Lay the plug in sight., isolates: [mains]}
          - {do: Renew the bulb., when: {bulb: filament}, renews: {bulb: led}}
          - by: bulb
            filament: [{do: Keep the old shade.}]
            led: [{do: Keep the new clip.}]
            none: nothing

How to mend it:
    Let the alternatives hang on the feature that work changes alone, with `by:`. Where two features change together,
    let one be derived from the other, or give both the new form in one step.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs

ALONE = "alternatives-not-one"


@rule(exact=True)
def find(runs: Runs, findings: Sequence[Finding]) -> Iterator[Finding]:
    """What the runs tell of alternatives, where judging them alone found nothing."""
    alone = {finding.place for finding in findings if finding.rule == ALONE}
    for each in runs.told("no-alternative"):
        if each.violation.place not in alone:
            yield each.finding(
                f"none of the alternatives{_of(each.subject)} holds once work has changed the machine",
                "a case for the machine as it is then",
            )
    for each in runs.told("several-alternatives"):
        if each.violation.place not in alone:
            yield each.finding(
                f"two alternatives{_of(each.subject)} hold at once, once work has changed the machine",
                "'by:' the feature that is changed",
            )


def _of(subject: str) -> str:
    return f" of {subject}" if subject else ""
