"""Stretches of recordings and the steps that they show, whichever of the two names the other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from handwheel.procedures.noted import steps_by_id
from handwheel.reading.folders import inside
from handwheel.reading.timed_text import Cue, clock, read_cues, seconds_of
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library
from handwheel.records.values import When
from handwheel.records.work_records import Passage, Recording


@dataclass(frozen=True)
class Stretch:
    """A passage of a recording with all steps that it shows."""

    recording: str
    passage: Passage
    steps: tuple[str, ...]
    """`procedure/step`, in the order written; those that name the recording themselves come last."""

    @property
    def start(self) -> int:
        """Seconds from the start of the recording."""
        return seconds_of(self.passage.start)

    @property
    def end(self) -> int:
        """Seconds from the start of the recording."""
        return seconds_of(self.passage.end)

    @property
    def when(self) -> When | None:
        """Machines that it holds for."""
        return self.passage.when

    @property
    def anchor(self) -> str:
        """Its place on the recording's page."""
        return anchor_at(self.passage.start)


def anchor_at(start: str) -> str:
    """Where a passage stands on its recording's page.

    >>> anchor_at("12:10")
    'at-12-10'
    """
    return "at-" + start.replace(":", "-")


@lru_cache(maxsize=8)
def stretches(library: Library) -> tuple[Stretch, ...]:
    """Every passage of every recording, each recording in the order of time."""
    told = _told_by_steps(library)
    return tuple(
        _stretch(recording.id, passage, told.get(recording.id, ()))
        for recording in library.of("recordings").values()
        for passage in sorted(recording.passages, key=lambda each: seconds_of(each.start))
    )


def stretches_in(library: Library, recording: str) -> tuple[Stretch, ...]:
    """Those of one recording."""
    return tuple(each for each in stretches(library) if each.recording == recording)


@lru_cache(maxsize=8)
def stretches_of_steps(library: Library) -> Mapping[str, tuple[Stretch, ...]]:
    """For each step that is shown, the stretches that show it."""
    found: dict[str, list[Stretch]] = {}
    for stretch in stretches(library):
        for step in stretch.steps:
            found.setdefault(step, []).append(stretch)
    return {step: tuple(shown) for step, shown in found.items()}


def never_shown(library: Library) -> tuple[str, ...]:
    """Steps that no passage shows and that name no recording."""
    shown = stretches_of_steps(library)
    return tuple(name for name, step in steps_by_id(library).items() if name not in shown and not step.shown)


def cues_of(library: Library, recording: Recording) -> tuple[Cue, ...]:
    """What is said in it; nothing where there is no timed text, or none that can be read (a rule says so)."""
    root = library.roots.get(recording.layer)
    path = inside(Path(root), recording.script) if root and recording.script else None
    if path is None or not path.is_file():
        return ()
    try:
        return read_cues(path)
    except HandwheelError:
        return ()


def between(cues: tuple[Cue, ...], start: int, end: int) -> tuple[Cue, ...]:
    """Cues that begin within a stretch."""
    return tuple(cue for cue in cues if start <= cue.start < end)


def gaps(recording: Recording, listed: tuple[Stretch, ...]) -> tuple[tuple[str, str], ...]:
    """Stretches of a recording of known length that no passage covers, a minute long or more."""
    found, at = [], 0
    ends = [(each.start, each.end) for each in listed]
    for start, end in [*ends, (seconds_of(recording.length), 0)]:
        if start - at >= 60:
            found.append((clock(at), clock(start)))
        at = max(at, end)
    return tuple(found)


def _told_by_steps(library: Library) -> dict[str, list[tuple[str, int, int]]]:
    told: dict[str, list[tuple[str, int, int]]] = {}
    for name, step in steps_by_id(library).items():
        for shown in step.shown:
            start = seconds_of(shown.start)
            told.setdefault(shown.recording, []).append((name, start, seconds_of(shown.end) or start + 1))
    return told


def _stretch(recording: str, passage: Passage, told: list[tuple[str, int, int]] | tuple[()]) -> Stretch:
    start, end = seconds_of(passage.start), seconds_of(passage.end)
    named = [name for name, first, last in told if first < end and start < last]
    return Stretch(recording, passage, tuple(dict.fromkeys([*passage.shows, *named])))
