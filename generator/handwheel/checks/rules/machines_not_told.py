"""A family whose machines cannot be told.

What it proves:
    The features, parts from outside and impossible combinations of each family fit together, so that the machines
    that can stand here can be listed, and every set of alternatives can be judged on all of them.

Why it matters at the bench:
    Where the machines cannot be told, nothing about them is proven, and the questions asked of the machine on the
    bench may lead nowhere.

Failing example:
    outsiders:
      other-bulb: {name: other bulb, part: bulb, forms: {lamp: stalk}}

Passing example:
    outsiders:
      other-bulb: {name: other bulb, part: bulb, forms: {bulb: led}}

How to mend it:
    Let the part from outside bring only forms of features that are `carried_by` the part in whose place it stands.
    Where there are too many machines to be judged together, let alternatives hang on fewer features.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.machines.errors import DerivedGap, MachinesError, TooMany
from handwheel.records.library import Library


@rule(exact=True)
def find(library: Library, machines: Machines, findings: Sequence[Finding]) -> Iterator[Finding]:  # noqa: ARG001 - last of all
    """What the floor of machines refused, once all other rules have asked it."""
    for family, error in machines.faults.items():
        yield _finding(library, family, error)
    for family, error in dict(_beyond(machines)).values():
        yield _finding(library, family, error)


def _beyond(machines: Machines) -> Iterator[tuple[str, tuple[str, MachinesError]]]:
    for (family, _), error in machines.beyond.items():
        if not isinstance(error, DerivedGap):  # told of as alternatives of which none holds
            yield f"{family}: {error}", (family, error)


def _finding(library: Library, family: str, error: MachinesError) -> Finding:
    record = library.families[family]
    return Finding(
        place=record.place,
        subject=f"families/{family}",
        what=f"the machines of '{family}' cannot be told: {error}",
        right="features, forms and parts from outside that fit together"
        if not isinstance(error, TooMany)
        else "conditions on fewer features at once, or 'cannot_stand' for combinations that were never made",
    )
