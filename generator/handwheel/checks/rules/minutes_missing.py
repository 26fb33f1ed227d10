"""A step without minutes, among steps that have them.

What it proves:
    Where most steps of a procedure say how long they take, all of them do.

Why it matters at the bench:
    The quote is the sum of the minutes. A step that has none is worked for nothing.

Failing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp., minutes: 2}
          - {do: Look at the lead., minutes: 3}
          - {do: Look at the plug.}

Passing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp., minutes: 2}
          - {do: Look at the lead., minutes: 3}
          - {do: Look at the plug., minutes: 1}

How to mend it:
    Say `minutes: 3`, or `[least, likely, most]`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sites import Written


@rule("note")
def find(steps: Sequence[Written]) -> Iterator[Finding]:
    """Steps without minutes in procedures where more than half have them."""
    by_procedure: dict[str, list[Written]] = {}
    for step in steps:
        by_procedure.setdefault(step.procedure.id, []).append(step)
    for held in by_procedure.values():
        without = [step for step in held if step.step.minutes is None]
        if 2 * len(without) < len(held):
            for step in without:
                yield Finding(
                    place=step.step.place,
                    subject=step.subject,
                    what="this step has no minutes, and the others of its procedure have",
                    right="minutes: [least, likely, most]",
                    cause=f"minutes of {step.procedure.id}",
                )
