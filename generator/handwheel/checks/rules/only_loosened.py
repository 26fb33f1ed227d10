"""A fastener taken out that is only to be loosened.

What it proves:
    No step takes out a fastener that its record says is only loosened.

Why it matters at the bench:
    Its nut falls into the bed, or its thread is the last one in an old casting.

Failing example:
    fasteners:
      cover-screw: {name: cover screw, holds: [cover], release: loosened, why: Its nut falls into the bed.}
    parts:
      cover: {name: cover, sews: false}
    procedures:
      cover-off:
        title: Take the cover off
        aim: {apart: [cover]}
        steps:
          - {do: Undo <fasteners cover-screw>., undoes: [cover-screw], back: Tighten it.}
          - {do: Lift the cover off., removes: [cover], back: Fit the cover.}
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: cover-off}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [cover-off, told]}

Passing example:
    fasteners:
      cover-screw: {name: cover screw, holds: [cover], release: loosened, why: Its nut falls into the bed.}
    parts:
      cover: {name: cover, sews: false}
    procedures:
      cover-off:
        title: Take the cover off
        aim: {apart: [cover]}
        steps: [{do: Loosen <fasteners cover-screw> and lift the cover off., removes: [cover], back: Fit the cover.}]
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {mirror: cover-off}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [cover-off, told]}

How to mend it:
    Write `loosens:`, or let `removes:` loosen it; change `release:` if the record is wrong.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """A fastener taken out that is only to be loosened."""
    for each in runs.told("only-loosened"):
        yield each.finding(f"{each.subject} is taken out, and is only to be loosened", "loosens: instead", joint=True)
