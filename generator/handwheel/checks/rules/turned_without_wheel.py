"""The works turned while what turns them is off.

What it proves:
    No step turns the works or brings them to a position (`turns:`, `puts:`) while the part that turns them
    (`turns: [works]`, such as the hand wheel) is off, on any machine that can stand here.

Why it matters at the bench:
    Whoever has no wheel takes pliers to the shaft, or turns by the hook or the needle bar and bends it.

Failing example:
    parts:
      wheel: {name: hand wheel, material: steel, turns: [works]}
    fasteners:
      wheel-screw: {name: screw of the wheel, holds: [wheel]}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Undo <fastener wheel-screw> and lift the wheel off., removes: [wheel]}
          - {do: Turn the works once round., turns: [works]}
          - {do: Fit the wheel and tighten., fits: [wheel]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

Passing example:
    parts:
      wheel: {name: hand wheel, material: steel, turns: [works]}
    fasteners:
      wheel-screw: {name: screw of the wheel, holds: [wheel]}
    procedures:
      told:
        title: Hand over
        steps:
          - {do: Lay the plug in sight., id: plug-out, when: {supply: mains}, isolates: [mains]}
          - {do: Undo <fastener wheel-screw> and lift the wheel off., removes: [wheel]}
          - {do: Fit the wheel and tighten., fits: [wheel]}
          - {do: Turn the works once round., turns: [works]}
          - {do: Hand the machine over., hands_over: true}
    jobs:
      work: {title: The work, start: in-order, procedures: [told]}

How to mend it:
    Turn before it comes off or after it is back, or leave the turning out.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.runs import Runs


@rule("error")
def find(runs: Runs) -> Iterator[Finding]:
    """The works turned while what turns them is off."""
    for each in runs.told("nothing-to-turn"):
        yield each.finding(
            f"the works are turned while {each.subject} is off",
            "the turning before it comes off, or after it is back",
            joint=True,
        )
