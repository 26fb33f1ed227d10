"""A step that cannot be done when it comes.

What it proves:
    Each step can be done where it stands: what it takes off is on and nothing is in front of it, what it fits is
    off and nothing is before its place, what is washed in a bath is off, the works can be turned where they must
    be, nothing is lifted with parts loose on it.

Why it matters at the bench:
    With both hands in the machine she finds a cover over the screw. The order was right for another pattern.

Failing example:
    parts:
      knob: {name: knob, behind: [side-plate], sews: false}
    fasteners:
      knob-screw: {name: knob screw, holds: [knob]}
    procedures:
      knob-off:
        title: Take the knob off
        aim: {apart: [knob]}
        steps: [{do: Undo <fasteners knob-screw> and lift the knob off., removes: [knob], back: Fit the knob.}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}
          - {mirror: knob-off}
          - {do: Fit the side plate., fits: [side-plate]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [knob-off, told]}

Passing example:
    parts:
      knob: {name: knob, behind: [side-plate], sews: false}
    fasteners:
      knob-screw: {name: knob screw, holds: [knob]}
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate], back: Fit it and tighten.}
      knob-off:
        title: Take the knob off
        aim: {apart: [knob]}
        steps: [{do: Undo <fasteners knob-screw> and lift the knob off., removes: [knob], back: Fit the knob.}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: knob-off}
          - {mirror: plate-off}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, knob-off, told]}

How to mend it:
    Change the order, add what must come off first (`ensure:` a shared run), or mend `behind:` if it is not so.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A step that cannot be done when it comes."""
    for each in runs.told("behind"):
        yield each.finding(
            f"{each.subject} cannot be reached: {each.about} is in front of it",
            "what is in front of it off first",
            joint=True,
        )
    for each in runs.told("not-in-place"):
        yield each.finding(
            f"{each.subject} is not in place here",
            "the step that fits it before this one, or this step left out",
            joint=True,
        )
    for each in runs.told("bath-in-place"):
        yield each.finding(
            f"{each.subject} is washed in a bath while it is on the machine",
            "it taken off first, or how: wipe",
            joint=True,
        )
    for each in runs.told("not-on-this-machine"):
        yield each.finding(f"{each.subject} is not on these machines", "a narrower when:", joint=True)
    for each in runs.told("impossible-position"):
        yield each.finding(
            f"{each.subject} cannot be brought where this step needs it",
            "the works freed, or what moves them fitted, first",
            joint=True,
        )
    for each in runs.told("cannot-turn"):
        yield each.finding("the works may be seized and are turned here", "the step that frees them first", joint=True)
    for each in runs.told("lifted-loose"):
        yield each.finding(
            f"{each.about or 'it'} is lifted while {each.subject} is loose in it",
            "what it holds taken off, or the fastener tightened, first",
            joint=True,
        )
    for each in runs.told("unknown-outcome"):
        yield each.finding(
            "the job has no outcome of the name that this step stops in",
            "its entry under outcomes:, or another name",
            joint=True,
        )
    for each in runs.told("no-power"):
        yield each.finding(
            "this step needs power and the machine is unplugged", "a step with restores: [mains] before it", joint=True
        )
