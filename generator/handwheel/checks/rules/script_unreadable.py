"""A recording whose timed text cannot be read.

What it proves:
    The timed text that a recording names lies in the shop's folder, is WebVTT or SRT, and ends before the recording
    does.

Why it matters at the bench:
    Without it nobody finds the words for a stretch, and times from another recording lead to the wrong place.

Failing example:
    recordings:
      class-4: {title: Evening class 4, length: "58:20", script: recordings/class-4.vtt}

Passing example:
    recordings:
      class-4: {title: Evening class 4, length: "58:20", script: recordings/evening-4.vtt}

How to mend it:
    Put the file there or mend its name. Where the text is longer than the recording, one of the two belongs to another
    evening.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.reading.folders import inside
from handwheel.reading.timed_text import clock, read_cues, seconds_of
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library
from handwheel.records.work_records import Recording


@rule("error")
def find(library: Library) -> Iterator[Finding]:
    """Timed texts of all recordings, where the folder of the layer is known."""
    for recording in library.of("recordings").values():
        root = library.roots.get(recording.layer)
        wrong = recording.script and root is not None and _wrong(Path(root), recording)
        if wrong:
            yield Finding(
                place=recording.where("script"),
                subject=f"recordings/{recording.id}",
                what=wrong,
                right="timed text (WebVTT or SRT) of this recording, in the shop's folder",
            )


def _wrong(root: Path, recording: Recording) -> str:
    path = inside(root, recording.script)
    if path is None or not path.is_file():
        return f"there is no file '{recording.script}' in the folder"
    try:
        last = max(cue.end for cue in read_cues(path))
    except HandwheelError as error:
        return str(error)
    if recording.length and last > seconds_of(recording.length):
        return f"something is said at {clock(last)}, after the end of the recording"
    return ""
