"""A test on a hidden spot that is no step of its own.

What it proves:
    No step both tries an agent on a part (`tests_on:`) and cleans that part with it (`cleans:`).

Why it matters at the bench:
    A spot has to be looked at before the rest is wiped: the colour on the cotton comes late. Under one tick, the second
    half of the step is done before the first has told anything.

Failing example:
    procedures:
      plate-wiped:
        title: Wipe the side plate
        steps:
          - {do: Wipe the side plate after a corner of it., tests_on: {side-plate: white-spirit},
            cleans: {side-plate: white-spirit}, how: wipe}

Passing example:
    procedures:
      plate-wiped:
        title: Wipe the side plate
        steps:
          - {do: Wipe a corner of the plate and look., tests_on: {side-plate: white-spirit}}
          - {do: Wipe the side plate., cleans: {side-plate: white-spirit}, how: wipe}

How to mend it:
    Write the test as a step before, with `ok:` for what must be seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sites import Written


@rule("error")
def find(steps: Sequence[Written]) -> Iterator[Finding]:
    """Steps that try and clean at once."""
    for step in steps:
        tried = {pair for done in step.done for pair in done.tests_on.items()}
        cleaned = {pair for done in step.done for pair in done.cleans.items()}
        for part, agent in sorted(tried & cleaned):
            yield Finding(
                place=step.step.where("tests_on"),
                subject=step.subject,
                what=f"'{agent}' is tried on '{part}' and used on it in one step",
                right="a step of its own for the test, before this one",
            )
