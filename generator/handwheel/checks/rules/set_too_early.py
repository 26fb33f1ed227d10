"""A setting set while something that it needs is not ready.

What it proves:
    When a step sets a setting, the settings that it rests on are in order, the parts that must be off are off,
    those that must be on are on, and the works stand where they must.

Why it matters at the bench:
    Timing set before the bar height has to be set again, or is taken to be right because it was set.

Failing example:
    settings:
      plate-gap: {name: gap of the plate, right: It clears., held_by: [plate-screw]}
      plate-feel: {name: feel of the plate, after: [plate-gap], right: It is even., held_by: [pivot-screw]}
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate], back: Fit it and tighten.}
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: plate-off}
          - {do: Turn the plate by hand., id: early, sets: [plate-feel]}
          - {do: Tighten <fasteners plate-screw> with the gap even., sets: [plate-gap]}
          - {do: Turn the plate by hand., id: again, sets: [plate-feel]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, told]}

Passing example:
    settings:
      plate-gap: {name: gap of the plate, right: It clears., held_by: [plate-screw]}
      plate-feel: {name: feel of the plate, after: [plate-gap], right: It is even., held_by: [pivot-screw]}
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate], back: Fit it and tighten.}
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: plate-off}
          - {do: Tighten <fasteners plate-screw> with the gap even., sets: [plate-gap]}
          - {do: Turn the plate by hand., id: again, sets: [plate-feel]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, told]}

How to mend it:
    Move the step behind what it rests on (`after:` and `set_when:` of the setting say what that is).
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A setting set while something that it needs is not ready."""
    for each in runs.told("set-too-early"):
        yield each.finding(
            f"{each.subject} is set too early" + (f": {each.about} is not ready" if each.about else ""),
            "the step later, when that is ready",
            joint=True,
        )
