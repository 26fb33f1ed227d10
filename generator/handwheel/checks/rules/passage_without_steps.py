"""A stretch of a recording that leads to no step.

What it proves:
    Every passage of a recording names the steps that it shows.

Why it matters at the bench:
    Nobody looks through an hour of recording with oily hands. A passage is found from the step that it shows, or it
    is not found.

Failing example:
    recordings:
      class-4:
        title: Evening class 4
        length: "58:20"
        passages: [{from: "12:10", to: "13:05", says: The lamp is looked at.}]
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {id: lamp-seen, do: Look at the lamp.}

Passing example:
    recordings:
      class-4:
        title: Evening class 4
        length: "58:20"
        passages: [{from: "12:10", to: "13:05", says: The lamp is looked at., shows: [lamp-look/lamp-seen]}]
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {id: lamp-seen, do: Look at the lamp.}

How to mend it:
    Name the steps under `shows:`, or accept it where the passage is talk.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.library import Library


@rule("note")
def find(library: Library) -> Iterator[Finding]:
    """Passages of all recordings."""
    for recording in library.of("recordings").values():
        for passage in recording.passages:
            if not passage.shows:
                yield Finding(
                    place=passage.place,
                    subject=f"recordings/{recording.id}",
                    what=f"the passage from {passage.start} to {passage.end} shows no step",
                    right="shows: [procedure/step]",
                )
