"""An oiling point that gets a lubricant of another class than its record says.

What it proves:
    Where a step oils or greases a point, the supplies that it lays out hold one of the point's class, and no lubricant
    of another class alone; and its text quotes no other class.

Why it matters at the bench:
    Grease in a hole for oil never comes out again, and oil on a gear runs onto the belt.

Failing example:
    procedures:
      shaft-oil:
        title: Oil the shaft
        steps:
          - {do: Oil the shaft., lubricates: [shaft-point], supplies: [grease-tube]}

Passing example:
    procedures:
      shaft-oil:
        title: Oil the shaft
        steps:
          - {do: Oil the shaft., lubricates: [shaft-point], supplies: [machine-oil]}

How to mend it:
    Mend the supply of the step, or the class in the record of the point.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sentences import INSTRUCTIONS, texts_of_step
from handwheel.checks.sites import Written
from handwheel.records.library import Library
from handwheel.records.marks import marks_in
from handwheel.records.step_records import Step


@rule("error")
def find(library: Library, steps: Sequence[Written]) -> Iterator[Finding]:
    """Steps that lubricate, by their supplies and their words."""
    supply_of = {each.supply: each.id for each in library.of("lubricants").values() if each.supply}
    for step in steps:
        for done in step.done:
            points = [library.oiling_points[each] for each in done.lubricates if each in library.oiling_points]
            wanted = {point.lubricant for point in points}
            if not wanted:
                continue
            for other, key in _told(library, step.step, done, supply_of, wanted):
                yield Finding(
                    place=step.step.where(key),
                    subject=step.subject,
                    what=f"'{other}' is of another class than '{points[0].id}' asks for: {', '.join(sorted(wanted))}",
                    right="the lubricant of the point, or another class in its record",
                    related=tuple((point.where("lubricant"), f"the class of '{point.id}'") for point in points),
                )


def _told(
    library: Library, step: Step, done: Step, supply_of: dict[str, str], wanted: set[str]
) -> Iterator[tuple[str, str]]:
    supplied = {each: supply_of[each] for each in done.supplies if each in supply_of}
    if supplied and wanted.isdisjoint(supplied.values()):
        yield from ((supply, "supplies") for supply in supplied)
    for key, text in texts_of_step(step, INSTRUCTIONS):
        for mark in marks_in(text.raw):
            if mark.word == "lubricant" and mark.id in library.of("lubricants") and mark.id not in wanted:
                yield mark.id, key
