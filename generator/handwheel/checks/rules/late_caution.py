"""A caution that stands after the first step that meets its hazard.

What it proves:
    Along every job, on every machine, a caution that is written beside a step stands beside each earlier step that does
    the same to the same thing, or that says the same word for word. The caution of a part stands beside the first step
    that loosens or undoes what holds the part. This holds across the procedures of a job.

Why it matters at the bench:
    The spring flew when the nut came loose; that it flies is printed at the next step. A caution read afterwards has
    warned nobody.

Failing example:
    cautions:
      pinch: {word: caution, hazard: A head that tips, consequence: It crushes fingers., avoid: Keep a hand on it.,
        symbol: crush}
    procedures:
      head-turned:
        title: Turn the head over
        steps:
          - {id: head-up, do: Lift the head onto its back., lifts: [head], people: 2}
          - {id: head-down, do: Lift the head back onto its base., lifts: [head], people: 2, cautions: [pinch]}

Passing example:
    cautions:
      pinch: {word: caution, hazard: A head that tips, consequence: It crushes fingers., avoid: Keep a hand on it.,
        symbol: crush}
    procedures:
      head-turned:
        title: Turn the head over
        steps:
          - {id: head-up, do: Lift the head onto its back., lifts: [head], people: 2, cautions: [pinch]}
          - {id: head-down, do: Lift the head back onto its base., lifts: [head], people: 2, cautions: [pinch]}

How to mend it:
    Write the caution beside the earlier step too (`cautions:`), or under `hazards:` of the part, tool or agent, where
    no step can miss it.

Sources:
    That a safety message stands before the action that meets the hazard: IEC/IEEE 82079-1:2019 (from memory, no
    clause seen).
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.meeting import Late, late
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs
from handwheel.records.library import Library


@rule("error", safety=True)
def find(library: Library, machines: Machines, runs: Runs) -> Iterator[Finding]:
    """Cautions, and the steps that met their hazards before."""
    for met in late(library, runs.all).values():
        yield _finding(library, machines, met)


def _finding(library: Library, machines: Machines, met: list[Late]) -> Finding:
    one = met[0]
    jobs = tuple(dict.fromkeys(each.run.job for each in met if each.run.job))
    hazard = library.cautions[one.caution].hazard
    return Finding(
        place=one.first.act.place,
        subject=one.first.act.id,
        what=f"this step {one.words}, and '{hazard}' is warned of only at {one.later.act.id}",
        right=f"cautions: [{one.caution}] in this step too",
        machines=machines.words(one.run.space, one.machines, one.run.machines),
        jobs=jobs,
        cause=one.caution,
        families=tuple(dict.fromkeys(library.families[each.run.family].name for each in met)),
        related=((one.later.act.place, f"the caution '{one.caution}' stands here"),),
    )
