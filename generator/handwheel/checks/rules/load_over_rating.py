"""A load beyond what carries it.

What it proves:
    On every machine that can stand here the current of all that a control, block, switch or lead feeds, added as it
    is, does not exceed what that part is marked to carry. Each part counts with the greater of its marked current and
    its watts over the voltage of the mains. A part without a mark is not judged, and none is passed.

Why it matters at the bench:
    An overloaded block or control gets hot where nobody looks, beside oil and old rubber.

Failing example:
    parts:
      drive-motor: {name: drive motor, rests: true, electrical: true, sews: false, watts: 90 W, amps: 0.8 A, volts: 230 V, sources: [bench-notes]}
      speed-control: {name: speed control, in: drive-motor, rests: true, electrical: true, sews: false, carries: 0.6 A, feeds: [drive-motor], sources: [bench-notes]}

Passing example:
    parts:
      drive-motor: {name: drive motor, rests: true, electrical: true, sews: false, watts: 90 W, amps: 0.8 A, volts: 230 V, sources: [bench-notes]}
      speed-control: {name: speed control, in: drive-motor, rests: true, electrical: true, sews: false, carries: 1.0 A, feeds: [drive-motor], sources: [bench-notes]}

How to mend it:
    Read the plates again. If it is so, the part goes to a licensed person to be exchanged for one that bears the load.

Sources:
    Joule's law; the markings of the parts.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.loads import LoadJudged, carriers, loads_judged
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.engineering.lamps import Told
from handwheel.evidence.electrics import arithmetic, over, volts_of
from handwheel.records.library import Library


@rule(safety=True)
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Every carrier with every load that some machine puts on it."""
    for carrier in carriers(library):
        for each in loads_judged(library, machines, carrier=carrier):
            for _, told in each.load.against if each.load else ():
                if over(told):
                    yield _finding(library, each, told)


def _finding(library: Library, each: LoadJudged, told: Told) -> Finding:
    assert each.carrier is not None
    volts = volts_of(library, each.taking)
    sums = "; ".join(arithmetic(each.taking, volts)) if volts else ""
    return Finding(
        place=each.carrier.where("carries"),
        subject=f"parts/{each.carrier.id}",
        what=f"{told.reason} ({sums})",
        right="a part that is marked for the load; local codes and a licensed person go first",
        machines=each.machines,
        cause=f"{each.carrier.id}: {told.reason}",
        related=tuple((taking.part.place, taking.words) for taking in each.taking),
    )
