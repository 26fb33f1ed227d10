"""Something electrical that is not told as such.

What it proves:
    A part that moves the works under power, that takes watts, or that a plug or terminal holds says
    `electrical: true`. A step whose text takes hold of an electrical part, or of what holds one, has an effect on it.

Why it matters at the bench:
    What keeps hands off a live machine goes by these two: the plug is out before the first electrical step, and the
    test is done after the last. A motor that is told as plain iron is worked on with the plug in, and nothing says so.

Failing example:
    procedures:
      lamp-look:
        title: Look after the lamp
        when: {lamp: [bracket, stalk]}
        steps:
          - {do: Renew the bulb and look along the lead.}

Passing example:
    procedures:
      lamp-look:
        title: Look after the lamp
        when: {lamp: [bracket, stalk]}
        steps:
          - {do: Lay the plug in sight., isolates: [mains]}
          - {do: Renew the bulb and look along the lead., renews: [bulb]}

How to mend it:
    Say `electrical: true` of the part; tell what the step does (`tightens:`, `cleans:`, `renews:`). Where the text
    only speaks of the part, take another verb.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.electrical import electrical_in_fact, untold
from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sites import Written
from handwheel.records.library import Library


@rule("error", safety=True)
def find(library: Library, steps: Sequence[Written]) -> Iterator[Finding]:
    """Parts by what else is told of them, and steps by what their texts take hold of."""
    for part in library.parts.values():
        reason = "" if part.electrical else electrical_in_fact(library, part)
        if reason:
            yield Finding(
                place=part.place,
                subject=f"parts/{part.id}",
                what=f"'{part.id}' {reason}, and is not told as electrical",
                right="electrical: true",
            )
    for step in steps:
        for text, said in untold(library, step):
            yield Finding(
                place=text.place,
                subject=step.subject,
                what=f"'{said}' is electrical, the text takes hold of it, and the step has no effect on it",
                right="the effect that the text speaks of, so that the plug is seen to be out",
            )
