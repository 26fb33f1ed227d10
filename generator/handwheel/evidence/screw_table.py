"""What is known of each thread before a screw is on the bench: look-alikes, the usual blade, where it gives way.

For the question 'what screw is this?', on the page and at the command line alike.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from handwheel.engineering.blades import ISO_SLOTS, NoBlade, blade_for, inch_slot
from handwheel.engineering.lookalikes import Comparison, Likeness, look_alikes
from handwheel.engineering.ranges import Span
from handwheel.engineering.screws import (
    DIAMETER_ERRORS,
    PITCH_ERRORS,
    Candidate,
    Identification,
    Reading,
    identify,
)
from handwheel.engineering.strength import hole_metals, screw_metal
from handwheel.engineering.thread_series import all_threads
from handwheel.engineering.threads import DIAMETERS, PITCHES, Thread
from handwheel.engineering.tightening import OILED, bearing_diameter
from handwheel.engineering.window import Joint, window
from handwheel.evidence.screws import CLEARANCE, SCREW
from handwheel.evidence.threads import thread_of
from handwheel.records.library import Library

HEAD = 1.75
"""Head against diameter where the head was not measured: 1.6 to 1.9 in ISO 1207, an observation."""
DIAMETER_ERROR = 0.05e-3
"""Error of a diameter by calliper where none is told [m]: common practice."""
PITCH_ERROR = 0.02e-3
"""Error of a pitch by gauge or over ten threads where none is told [m]: common practice."""
ASSUMED = (
    "One diameter of full thread in the hole, a screw of unmarked steel, friction of an oiled thread. "
    "Friction and old metal are known from memory and common practice: the figure forbids more and permits nothing."
)


@dataclass(frozen=True)
class GivesWay:
    """The torque [N m] at which the first thing may give way, and what that is."""

    torque: float
    what: str


@cache
def usual_blade(thread: Thread) -> str:
    """The blade of a new screw of this thread, or empty: old screws are measured at the slot.

    >>> from handwheel.engineering.thread_series import thread
    >>> usual_blade(thread("M4")), usual_blade(thread("6-32 UNC")), usual_blade(thread("3 BA"))
    ('1.2x6.5', '0.8x4', '')
    """
    width = _slot_width(thread)
    try:
        return blade_for(width, HEAD * thread.diameter).name if width else ""
    except NoBlade:
        return ""


def _slot_width(thread: Thread) -> float | None:
    """The least slot of the standard of its series [m]."""
    row = next((row for row in ISO_SLOTS.rows if row["size"] == thread.name), None)
    if row is not None:
        return float(row["min"]) / 1e3
    if thread.series not in ("UNC", "UNF"):
        return None
    try:
        return inch_slot(thread.name.partition(" ")[0].rpartition("-")[0])[0]
    except (KeyError, ValueError):
        return None


@cache
def gives_way(thread: Thread, metal: str) -> GivesWay:
    """What gives way first in a hole of this metal, one diameter deep.

    >>> from handwheel.engineering.thread_series import thread
    >>> gives_way(thread("M4"), "aluminium").what
    'the screw yields'
    """
    hole = hole_metals()[metal]
    found = window(Joint(thread, thread.diameter, screw_metal(SCREW), hole, OILED, bearing_of(thread)), 0.0)
    return GivesWay(found.high, found.first.what)


def bearing_of(thread: Thread) -> float:
    """Mean diameter under a usual head [m]."""
    return bearing_diameter(HEAD * thread.diameter, CLEARANCE * thread.diameter)


@dataclass(frozen=True)
class Beware:
    """A thread that this one may be taken for: what comes of it, and after how much engagement it binds [m]."""

    other: str
    verified: bool
    likeness: Likeness
    binds_after: Span | None

    @property
    def called(self) -> str:
        """Its name, with the mark of a thread whose sizes nobody verified."""
        return self.other if self.verified else f"{self.other} (unverified)"


@cache
def beware_of(thread: Thread) -> tuple[Beware, ...]:
    """Look-alikes that must not be mixed with it and that start by hand or turn in, the worst first."""
    found = look_alikes(thread, all_threads())
    return tuple(_beware(each) for each in found if each.must_not_mix and each.likeness is not Likeness.CROSSES)


def _beware(each: Comparison) -> Beware:
    return Beware(each.screw.name, each.screw.verified, each.likeness, each.binds_after)


def beware_lines(thread: Thread) -> tuple[str, ...]:
    """What it must not be mixed with, a line for each thing that comes of it; those that bind tell after how much.

    >>> from handwheel.engineering.thread_series import thread
    >>> beware_lines(thread("M4"))[1]
    '7-36 NS: near pitch: starts by hand for a few turns, then binds and is forced after 13.9 to 29.0 mm'
    """
    lines: dict[str, list[str]] = {}
    for each in beware_of(thread):
        span = each.binds_after
        binds = f" after {span.low * 1e3:.1f} to {span.high * 1e3:.1f} mm" if span else ""
        lines.setdefault(f"{each.likeness.value}{binds}", []).append(each.called)
    return tuple(f"{', '.join(names)}: {comes}" for comes, names in lines.items())


def threads_for(library: Library | None) -> tuple[Thread, ...]:
    """Every thread of every series, with those that the shop measured itself in the place of their recollection."""
    if library is None:
        return all_threads()
    made = (thread_of(library, record) for record in library.threads.values())
    measured = {each.name: each for each in made if each is not None and each.series == "measured"}
    kept = [each for each in all_threads() if each.name not in measured]
    return tuple(sorted((*kept, *measured.values()), key=lambda t: (t.diameter, t.pitch, t.name)))


def read(diameter: float, pitch: float, errors: tuple[float, float]) -> Reading:
    """A reading, with a message that says which of the values is wrong.

    Raises:
        OutOfRange: a value for which no screw of this trade exists.
    """
    DIAMETERS.check(diameter, "diameter")
    PITCHES.check(pitch, "pitch")
    DIAMETER_ERRORS.check(errors[0], "error of the diameter")
    PITCH_ERRORS.check(errors[1], "error of the pitch")
    return Reading(diameter, errors[0], pitch, errors[1])


def ranked(reading: Reading, among: Iterable[Thread] | None = None) -> Identification:
    """What the screw can be, likeliest first."""
    return identify(reading, tuple(among) if among is not None else all_threads())


def shown(found: Identification, share: float = 0.99, at_most: int = 8) -> tuple[Candidate, ...]:
    """The few candidates that hold nearly all of the belief that falls on any."""
    total = sum(each.probability for each in found.candidates)
    return found.within(share * total)[:at_most] if total else ()


def likelihood_words(probability: float) -> str:
    """How far a candidate is to be believed; nothing here is certain.

    >>> [likelihood_words(p) for p in (0.97, 0.6, 0.3, 0.02)]
    ['very likely', 'likely', 'possible', 'unlikely']
    """
    if probability >= 0.9:
        return "very likely"
    if probability >= 0.5:
        return "likely"
    return "possible" if probability >= 0.05 else "unlikely"


def basis_words(thread: Thread) -> str:
    """What the thread's sizes rest on, without notes on other sizes of the same table.

    >>> from handwheel.engineering.thread_series import thread
    >>> basis_words(thread("3 BA"))
    "Machinery's Handbook, 31st ed. (BS 93:1951), p. 2115 (seen in the source named)"
    """
    return str(dataclasses.replace(thread.basis, note=""))


def metals() -> tuple[str, ...]:
    """Metals of holes for which a strength is known."""
    return tuple(hole_metals())


def as_dict(candidate: Candidate, metal: str) -> Mapping[str, object]:
    """A candidate with all that goes with it, for JSON; lengths in millimetres, torques in N m."""
    thread = candidate.thread
    limit = gives_way(thread, metal)
    return {
        "thread": thread.name,
        "series": thread.series,
        "likelihood": likelihood_words(candidate.probability),
        "probability": round(candidate.probability, 6),
        "verified": thread.verified,
        "rests_on": basis_words(thread),
        "diameter_mm": round(thread.diameter * 1e3, 4),
        "pitch_mm": round(thread.pitch * 1e3, 5),
        "same_sizes_as": list(candidate.alike),
        "beware_of": [_beware_dict(each) for each in beware_of(thread)],
        "usual_blade": usual_blade(thread) or None,
        "gives_way": {"into": metal, "torque_n_m": round(limit.torque, 3), "what": limit.what, "permits": False},
    }


def _beware_dict(each: Beware) -> Mapping[str, object]:
    span = each.binds_after
    return {
        "thread": each.other,
        "verified": each.verified,
        "why": each.likeness.value,
        "binds_after_mm": [round(end * 1e3, 1) for end in dataclasses.astuple(span)] if span else None,
    }
