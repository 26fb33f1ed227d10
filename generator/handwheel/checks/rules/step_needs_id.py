"""Steps that only their order tells apart.

What it proves:
    Every step has an id of its own, written or made from what it does, so that the links to it, the ticks that a
    restorer has made and the recordings that show it stay with it when other steps are added before it.

Why it matters at the bench:
    A tick that moves to another step says that something was done which was not.

Failing example:
    procedures:
      oil-twice:
        title: Oil the shaft twice
        steps:
          - {do: Oil the shaft., lubricates: [shaft-point]}
          - {do: Oil it again., lubricates: [shaft-point]}

Passing example:
    procedures:
      oil-twice:
        title: Oil the shaft twice
        steps:
          - {do: Oil the shaft., lubricates: [shaft-point]}
          - {id: oiled-again, do: Oil it again., lubricates: [shaft-point]}

How to mend it:
    Give one of them an `id:`, or the second `use:` of a shared run an `id:` of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.procedures.program import Program

_CODES = frozenset(("step-needs-id", "use-needs-id"))


@rule()
def find(programs: Mapping[str, Program]) -> Iterator[Finding]:
    """Ids that were made alike; the same pair met in several procedures is one."""
    told = set()
    for name, program in programs.items():
        for message in program.messages:
            if message.code in _CODES and message not in told:
                told.add(message)
                yield Finding(
                    place=message.place,
                    subject=f"procedures/{name}",
                    what=message.what,
                    right=message.right,
                    related=message.related,
                )
