"""A lamp that its holder must not bear.

What it proves:
    On every machine that can stand here a lamp takes no more watts than its holder is marked for, has the cap that
    the holder takes, and is made for the voltage that reaches it, as far as the records of the parts tell these. A
    holder without a mark bears no more than the usual lamp of the trade. A lamp that is within its holder's mark is
    not thereby passed: nothing here permits.

Why it matters at the bench:
    A lamp too strong scorches its holder and cracks the insulation of its lead, under a hood that is touched all day,
    and the damage stays when the lamp is changed.

Failing example:
    parts:
      hood: {name: hood, rests: true, electrical: true, sews: false, cap: bayonet 15 mm, lamp_up_to: 15 W, sources: [bench-notes]}
      glow-lamp: {name: glow lamp, in: hood, rests: true, electrical: true, sews: false, cap: bayonet 15 mm, watts: 25 W, volts: 230 V, sources: [bench-notes]}

Passing example:
    parts:
      hood: {name: hood, rests: true, electrical: true, sews: false, cap: bayonet 15 mm, lamp_up_to: 15 W, sources: [bench-notes]}
      glow-lamp: {name: glow lamp, in: hood, rests: true, electrical: true, sews: false, cap: bayonet 15 mm, watts: 15 W, volts: 230 V, sources: [bench-notes]}

How to mend it:
    Read the marking on holder and lamp again. A lamp of less watts, the same cap and the voltage of the mains goes in;
    an LED lamp counts with the watts that it takes, not with those that it replaces. Local codes and a licensed person
    go before this sum.

Sources:
    The markings. That too strong a lamp scorches holder and lead: general electricians' pages. 15 W for a holder
    without a mark: from memory, so it only forbids.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.loads import LampJudged, lamps_judged
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.evidence.electrics import over
from handwheel.records.library import Library


@rule(safety=True)
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Every lamp in every holder that some machine has."""
    for each in lamps_judged(library, machines):
        if over(each.told):
            yield _finding(each)


def _finding(each: LampJudged) -> Finding:
    lamp, holder = each.pair.lamp, each.pair.holder
    return Finding(
        place=lamp.where("watts"),
        subject=f"parts/{lamp.id}",
        what=f"'{lamp.id}' in '{holder.id}': {each.told.fit.value}: {each.told.reason}",
        right="a lamp that the holder is marked for; local codes and a licensed person go first",
        machines=each.machines,
        related=((holder.where("lamp_up_to"), f"the marking of '{holder.id}'"),),
    )
