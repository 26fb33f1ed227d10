"""A test passed while something that it needs is not ready.

What it proves:
    When a test is passed, what it needs is so: for sewing, every setting is in order and power is on.

Why it matters at the bench:
    A seam sewn before the last setting proves the setting before.

Failing example:
    proofs:
      sewing: {name: sewing test, stale_by: sewing}
    settings:
      plate-gap: {name: gap of the plate, right: It clears., held_by: [plate-screw]}
    procedures:
      plug-out:
        title: Pull the plug
        steps:
          - when: {supply: mains}
            steps: [{do: Lay the plug in sight., isolates: [mains]}]
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate], back: Fit it and tighten.}
      told:
        title: Hand over
        steps:
          - {mirror: plate-off}
          - {do: Turn the mains on., id: on-early, when: {supply: mains}, restores: [mains]}
          - {do: Measure a seam., id: seam-early, proves: [sewing]}
          - {do: Lay the plug in sight., id: out-early, when: {supply: mains}, isolates: [mains]}
          - {do: Tighten <fasteners plate-screw> with the gap even., sets: [plate-gap]}
          - {do: Turn the mains on., id: on-last, when: {supply: mains}, restores: [mains]}
          - {do: Measure a seam., id: seam-last, proves: [sewing]}
          - {do: Lay the plug in sight., id: out-last, when: {supply: mains}, isolates: [mains]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plug-out, plate-off, told]}

Passing example:
    proofs:
      sewing: {name: sewing test, stale_by: sewing}
    settings:
      plate-gap: {name: gap of the plate, right: It clears., held_by: [plate-screw]}
    procedures:
      plug-out:
        title: Pull the plug
        steps:
          - when: {supply: mains}
            steps: [{do: Lay the plug in sight., isolates: [mains]}]
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate], back: Fit it and tighten.}
      told:
        title: Hand over
        steps:
          - {mirror: plate-off}
          - {do: Tighten <fasteners plate-screw> with the gap even., sets: [plate-gap]}
          - {do: Turn the mains on., id: on-last, when: {supply: mains}, restores: [mains]}
          - {do: Measure a seam., id: seam-last, proves: [sewing]}
          - {do: Lay the plug in sight., id: out-last, when: {supply: mains}, isolates: [mains]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [plug-out, plate-off, told]}

How to mend it:
    Move the test behind the last setting.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("warning")
def find(runs: Runs) -> Iterator[Finding]:
    """A test passed while something that it needs is not ready."""
    for each in runs.told("tested-too-early"):
        yield each.finding(
            f"{each.subject} is passed too early" + (f": {each.about} is not in order" if each.about else ""),
            "the test after the last setting",
            joint=True,
        )
