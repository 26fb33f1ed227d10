"""A step named by a passage, a note or a measurement that its procedure does not have.

What it proves:
    Each `procedure/step` that a passage of a recording shows, or that a note or a measurement belongs to, is a step
    that is written.

Why it matters at the bench:
    A step was renamed or taken out, and what was learned at it hangs on nothing: the passage is offered nowhere, and
    its link leads beside the page.

Failing example:
    recordings:
      class-9:
        title: Ninth evening
        date: 2026-03-04
        passages: [{from: "12:10", to: "13:05", says: The lamp is looked at., shows: [lamp-look/lamp-sought]}]
    procedures:
      lamp-look: {title: Look at the lamp, steps: [{id: lamp-seen, do: Look at the lamp.}]}

Passing example:
    recordings:
      class-9:
        title: Ninth evening
        date: 2026-03-04
        passages: [{from: "12:10", to: "13:05", says: The lamp is looked at., shows: [lamp-look/lamp-seen]}]
    procedures:
      lamp-look: {title: Look at the lamp, steps: [{id: lamp-seen, do: Look at the lamp.}]}

How to mend it:
    Name a step that is there, or take the name out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sites import Written
from handwheel.reading.messages import nearest
from handwheel.records.library import Library
from handwheel.records.places import Place


@rule("error")
def find(library: Library, steps: Sequence[Written]) -> Iterator[Finding]:
    """Steps named that no procedure has."""
    known = [each.subject for each in steps]
    there = frozenset(known)
    for subject, named, place in _named(library):
        if named not in there:
            near = nearest(named, known)
            yield Finding(
                place=place,
                subject=subject,
                what=f"no procedure has the step '{named}'",
                right=f"did you mean '{near}'?" if near else "procedure/step, as in 'lamp-off/lamp-drawn'",
            )


def _named(library: Library) -> Iterator[tuple[str, str, Place]]:
    for recording in library.of("recordings").values():
        for passage in recording.passages:
            yield from ((f"recordings/{recording.id}", each, passage.where("shows")) for each in passage.shows)
    for kind in ("drafts", "measurements"):
        for record in library.of(kind).values():
            if record.step:
                yield f"{kind}/{record.id}", record.step, record.where("step")
