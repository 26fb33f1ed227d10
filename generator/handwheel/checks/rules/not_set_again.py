"""A setting that is lost and never set again.

What it proves:
    On every machine, each setting that a job loses, by undoing what holds it or otherwise, is set again after the
    last step that loses it.

Why it matters at the bench:
    The machine is whole and does not sew. The setting was lost three procedures earlier, by a screw that held two
    things.

Failing example:
    settings:
      plate-gap: {name: gap of the plate, right: It clears., held_by: [plate-screw]}
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
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, told]}

Passing example:
    settings:
      plate-gap: {name: gap of the plate, right: It clears., held_by: [plate-screw]}
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
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plate-off, told]}

How to mend it:
    Add the step that sets it (`sets:`) after the refit; or give the fastener `seat: flat` if it truly finds its
    place again.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs
from handwheel.procedures.wording import joined


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A setting that is lost and never set again."""
    for each in runs.told("not-set-again"):
        known = f", as in {joined(map(repr, each.set_by), 'or')}" if each.set_by else ""
        right = f"a step with sets: after the last that loses it{known}"
        yield each.finding(f"{each.subject} is lost and not set again", right, joint=True)
