"""A procedure that takes parts off and does not say what it is to reach.

What it proves:
    Every procedure that takes off parts which it does not put back states its `aim:`, so that it can be judged by
    itself, whatever its refit does.

Why it matters at the bench:
    A refit that mirrors the strip forgets just what the strip forgot. Only an aim shows that a step was lost from
    both.

Failing example:
    procedures:
      plate-off:
        title: Take the side plate off
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}

Passing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}

How to mend it:
    Say `aim: {apart: [..]}`, or `aim: {stripped: [assembly], left: [..]}`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sites import Site
from handwheel.procedures.wording import joined
from handwheel.records.library import Library


@rule()
def find(library: Library, sites: Sequence[Site]) -> Iterator[Finding]:
    """Procedures by what they take off and put on themselves."""
    off: dict[str, dict[str, None]] = {}
    on: dict[str, set[str]] = {}
    for site in sites:
        off.setdefault(site.procedure, {}).update(dict.fromkeys(site.step.removes))
        on.setdefault(site.procedure, set()).update(site.step.fits)
    for name, parts in off.items():
        record = library.procedures[name]
        left = [part for part in parts if part not in on[name]]
        if left and record.aim is None:
            yield Finding(
                place=record.place,
                subject=f"procedures/{name}",
                what=f"'{name}' takes off {joined(left)} and has no aim",
                right=f"aim: {{apart: [{', '.join(left)}]}}",
            )
