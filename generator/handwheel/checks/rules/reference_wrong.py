"""A shared run, mirror or step named that does not fit together.

What it proves:
    Every shared run gets the words that it takes and no others, every mirror names steps that the mirrored
    procedure has, no two steps of a procedure bear one id, and no procedure leads back into itself.

Why it matters at the bench:
    A step that is named and not found is left out without a trace, and a word without a value leaves a gap in the
    sentence.

Failing example:
    procedures:
      wash:
        title: Wash parts
        shared: true
        takes: [parts]
        steps:
          - {id: washed, do: Wipe <parts>., cleans: {$parts: white-spirit}, how: wipe}
      winder-clean:
        title: Clean the winder
        steps:
          - {use: wash}

Passing example:
    procedures:
      wash:
        title: Wash parts
        shared: true
        takes: [parts]
        steps:
          - {id: washed, do: Wipe <parts>., cleans: {$parts: white-spirit}, how: wipe}
      winder-clean:
        title: Clean the winder
        steps:
          - {use: wash, with: {parts: [winder]}}

How to mend it:
    Give the word under `with:`, or take the step's id that is offered.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.procedures.program import Program


@rule("error")
def find(programs: Mapping[str, Program]) -> Iterator[Finding]:
    """Errors met while procedures are written out; the same one met twice is one."""
    told = set()
    for name, program in programs.items():
        for message in program.messages:
            if message.level == "error" and message not in told:
                told.add(message)
                yield Finding(
                    place=message.place,
                    subject=f"procedures/{name}",
                    what=message.what,
                    right=message.right,
                    related=message.related,
                )
