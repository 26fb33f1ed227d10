"""Screws as the engineering floor sees them: their threads, metals and what is in the hole."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from handwheel.checks.cases import mixtures
from handwheel.checks.machines import Machines
from handwheel.engineering.thread_series import all_threads, measured_thread
from handwheel.engineering.threads import Form, Thread
from handwheel.procedures.existence import present
from handwheel.records import library_records as lib
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener
from handwheel.records.values import Amount

INCH = 0.0254
WITH_HEAD = ("screw", "cone screw")
"""Kinds of fastener that have a head to clamp with."""
NEAR = 0.002
"""Share by which a diameter or pitch may lie off that of a series, for rounding."""
_FORMS = {
    "60 degree": (Form.ISO, Form.UNIFIED),
    "55 degree": (Form.WHITWORTH,),
    "47.5 degree": (Form.BA,),
    "special": tuple(Form),
}


@dataclass(frozen=True)
class Screw:
    """A fastener with the values that some machines have together; lengths in metres, None where not told."""

    record: Fastener
    thread: lib.Thread | None
    length: Amount | None
    tighten: Amount | None
    into: lib.Material | None
    """Material of its hole."""
    machines: str

    @property
    def engagement(self) -> float | None:
        """Length of thread in the hole [m], for a screw with a head."""
        length, grip, depth = value_of(self.length), value_of(self.record.grip), value_of(self.record.hole_depth)
        if length is None or grip is None or self.record.kind not in WITH_HEAD:
            return None
        return length - grip if depth is None else min(length - grip, depth)


def value_of(amount: Amount | None) -> float | None:
    """Its value in SI units; None where a word stands or nothing."""
    return amount.value if amount is not None else None


def screws_of(library: Library, machines: Machines) -> Iterator[Screw]:
    """Every fastener with each mixture of values that some machine has."""
    root = next((part for part in library.parts.values() if part.root), None)
    for record in library.fasteners.values():
        if record.thread is None and record.length is None:
            continue
        material = root.material if root and not record.into else None
        values = (record.thread, record.length, record.tighten, material)
        for (thread, length, tighten, own), words in mixtures(
            machines, present(library, "fasteners", record.id), values
        ):
            into = library.materials.get(record.into or own or "")
            yield Screw(record, library.threads.get(thread or ""), length, tighten, into, words)


def pitch_of(thread: lib.Thread) -> float | None:
    """Its pitch [m], from the pitch or the threads an inch."""
    if thread.tpi:
        return INCH / thread.tpi
    return value_of(thread.pitch)


@lru_cache(maxsize=4096)
def in_series(form: str, diameter: float, pitch: float) -> Thread | None:
    """The thread of a known series that has this form and these sizes."""
    for each in all_threads():
        if each.form in _FORMS[form] and _near(each.diameter, diameter) and _near(each.pitch, pitch):
            return each
    return None


def thread_of(record: lib.Thread) -> Thread | None:
    """The thread for calculation: of its series, else as the record tells it; None where that is not enough."""
    diameter, pitch = value_of(record.diameter), pitch_of(record)
    if diameter is None or pitch is None:
        return None
    known = in_series(record.form, diameter, pitch)
    if known is not None:
        return known
    form = _FORMS[record.form][0]
    try:
        return measured_thread(record.name, form, diameter, pitch, record.source.source if record.source else "")
    except ValueError:
        return None


def _near(one: float, other: float) -> bool:
    return abs(one - other) <= NEAR * one
