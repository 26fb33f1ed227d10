"""Alternatives of which none has a step.

What it proves:
    In each set of alternatives (`by`, `one_of`) at least one has something to do.

Why it matters at the bench:
    The owner said no, and the page has nothing to say of it: what was to be done was forgotten, or taken away by
    mistake.

Failing example:
    procedures:
      told:
        title: Ask and go on
        steps:
          - {do: Look at the tyre., finds: [tyre-state]}
          - by: tyre-state
            round: nothing
            flat: nothing

Passing example:
    procedures:
      told:
        title: Ask and go on
        steps:
          - {do: Look at the tyre., finds: [tyre-state]}
          - by: tyre-state
            round: nothing
            flat: [{do: Renew the tyre., renews: [tyre]}]

How to mend it:
    Write what is to be done in one of the cases, or take the whole choice out.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.library import Library
from handwheel.records.step_records import By, OneOf
from handwheel.records.within import held_by


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Alternatives of which none has a step."""
    for procedure in library.procedures.values():
        for each in _choices(procedure.steps):
            if not any(case.steps for case in (each.branches if isinstance(each, By) else each.alternatives)):
                asked = f" 'by: {each.question}'" if isinstance(each, By) else ""
                yield Finding(
                    place=each.place,
                    subject=f"procedures/{procedure.id}",
                    what=f"none of the alternatives{asked} has a step",
                    right="what to do in one of the cases, or no alternatives",
                )


def _choices(value: Any) -> Iterator[By | OneOf]:
    if isinstance(value, By | OneOf):
        yield value
    for each in held_by(value):
        yield from _choices(each)
