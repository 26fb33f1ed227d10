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

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.reading.linking import nested
from handwheel.records.library import Library
from handwheel.records.step_records import Branch, By, OneOf, Under


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Alternatives of which none has a step."""
    for procedure in library.procedures.values():
        for node in nested(procedure.steps):
            if isinstance(node, By | OneOf) and not any(case.steps for case in _cases(node)):
                asked = f" 'by: {node.question}'" if isinstance(node, By) else ""
                yield Finding(
                    place=node.place,
                    subject=f"procedures/{procedure.id}",
                    what=f"none of the alternatives{asked} has a step",
                    right="what to do in one of the cases, or no alternatives",
                )


def _cases(choice: By | OneOf) -> Sequence[Branch | Under]:
    return choice.branches if isinstance(choice, By) else choice.alternatives
