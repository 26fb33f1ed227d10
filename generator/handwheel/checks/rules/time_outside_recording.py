"""A time in a recording that cannot be.

What it proves:
    Passages, and the stretches that steps say they are shown in, begin before they end and lie within the length of
    the recording.

Why it matters at the bench:
    The player opens at the wrong place, or at the end.

Failing example:
    recordings:
      class-4:
        title: Evening class 4
        length: "58:20"
        passages: [{from: "13:05", to: "12:10", shows: [lamp-look/lamp-seen]}]
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
        passages: [{from: "12:10", to: "13:05", shows: [lamp-look/lamp-seen]}]
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {id: lamp-seen, do: Look at the lamp.}

How to mend it:
    Mend the times, or the `length:` of the recording.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sites import Written
from handwheel.reading.timed_text import seconds_of
from handwheel.records.library import Library
from handwheel.records.places import Place


@rule()
def find(library: Library, steps: Sequence[Written]) -> Iterator[Finding]:
    """Times of passages and of steps."""
    lengths = {each.id: seconds_of(each.length) for each in library.of("recordings").values()}
    for recording in library.of("recordings").values():
        for passage in recording.passages:
            subject = f"recordings/{recording.id}"
            yield from _judge(subject, passage.place, passage.start, passage.end, lengths[recording.id])
    for step in steps:
        for shown in step.step.shown:
            yield from _judge(step.subject, shown.place, shown.start, shown.end, lengths[shown.recording])


def _judge(subject: str, place: Place, start: str, end: str, length: int) -> Iterator[Finding]:
    if start and end and seconds_of(start) >= seconds_of(end):
        what = f"it begins at {start} and ends at {end}"
    elif length and max(seconds_of(start), seconds_of(end)) > length:
        what = f"{max(start, end, key=seconds_of)} lies after the end of the recording"
    else:
        return
    yield Finding(place=place, subject=subject, what=what, right="other times, or another length of the recording")
