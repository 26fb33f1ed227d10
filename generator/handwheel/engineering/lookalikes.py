"""Threads that look alike and must not be mixed, and after how much engagement they bind.

First order and plain geometry: the flanks drift apart by the difference of pitch, and a joint binds
where the drift has used up the play between the flanks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.ranges import Range, Span
from handwheel.engineering.threads import PITCHES, Thread

NEAR_DIAMETER = 0.26e-3
"""Difference of diameter up to which a near pitch is the dangerous case [m]."""
NEAR_PITCH = 0.045
"""Share of the pitch up to which a thread starts by hand before it binds."""
IN_SIGHT = 0.41e-3
"""Difference of diameter up to which two screws are taken for one another [m]."""
SAME_DIAMETER = 0.01e-3
SAME_PITCH = 0.0005


class Likeness(Enum):
    """What comes of putting a screw into the other thread's hole."""

    SAME = "the same thread by another name; only class and fit may differ"
    OTHER_ANGLE = "same pitch, other flank angle: turns in, bears on edges and marks the flanks"
    OTHER_DIAMETER = "same pitch, other diameter: will not enter, or turns in and holds badly"
    BINDS = "near pitch: starts by hand for a few turns, then binds and is forced"
    CROSSES = "other pitch: crosses the threads at once"

    @property
    def mixes(self) -> bool:
        """Whether the one may stand for the other."""
        return self is Likeness.SAME


@dataclass(frozen=True)
class Comparison:
    """A screw against the thread of a hole; differences are screw less hole.

    Args:
        diameter: difference of major diameter [m].
        pitch: difference of pitch as a share of the hole's pitch.
        effective: difference of effective diameter [m].
        binds_after: engagement after which it binds [m], from the tightest pair of its tolerances to the
            loosest; None where pitch agrees or it never starts.
    """

    screw: Thread
    hole: Thread
    likeness: Likeness
    diameter: float
    pitch: float
    effective: float
    binds_after: Span | None

    @property
    def must_not_mix(self) -> bool:
        """Whether the pair needs the warning."""
        return not self.likeness.mixes

    @property
    def certain(self) -> bool:
        """Whether both threads are verified."""
        return self.screw.verified and self.hole.verified


def drift(screw_pitch: float, hole_pitch: float, engagement: float) -> float:
    """How far the flanks drift apart over an engagement.

    Formula: drift = Le |P1 - P2| / P2.

    Args:
        screw_pitch: pitch of the screw P1 [m], 0.15 to 4 mm.
        hole_pitch: pitch of the hole P2 [m], 0.15 to 4 mm.
        engagement: length of engagement Le [m], 0 to 60 mm.

    Returns:
        drift along the axis [m].

    Source: geometry; 0.8 % over 5 mm is 0.04 mm.

    >>> round(drift(0.0008 * 1.008, 0.0008, 0.005) * 1e3, 2)
    0.04
    """
    PITCHES.check(screw_pitch, "pitch of the screw")
    PITCHES.check(hole_pitch, "pitch of the hole")
    Range(0.0, 0.06, "mm", si=1e-3).check(engagement, "length of engagement")
    return engagement * abs(screw_pitch - hole_pitch) / hole_pitch


def clearance(thread: Thread) -> Span:
    """Play on the effective diameter between a 6g screw and a 6H hole of one thread [m].

    Formula: least = 15 + 11 P, greatest = least + (1 + 1.32) 90 P^0.4 d^0.1 [um, with P and d in mm], taken for
    every form.

    Args:
        thread: the thread, 0.7 to 30 mm.

    Returns:
        least and greatest play [m].

    Source: formulas of ISO 965-1; for inch, Whitworth and BA threads an approximation of like size.

    >>> from handwheel.engineering.thread_series import thread
    >>> clearance(thread("M4")).through(lambda c: round(c * 1e3, 3))
    Span(low=0.023, high=0.231)
    """
    pitch, diameter = thread.pitch * 1e3, thread.diameter * 1e3
    allowance = (15 + 11 * pitch) * 1e-6
    tolerance = 90 * pitch**0.4 * diameter**0.1 * 1e-6
    return Span(allowance, allowance + 2.32 * tolerance)


def compare(screw: Thread, hole: Thread) -> Comparison:
    """What a screw does in the hole of another thread.

    Formula: differences of d, P and d2 = d - c P; it binds after play tan(a) P / |dP|, with a the smaller half angle.

    Args:
        screw: the thread of the screw.
        hole: the thread that the hole was cut for.

    Returns:
        the comparison; `binds_after` is play * tan(a) * P / |dP| with the smaller half-angle a.

    Source: plain geometry of the flanks; the limits 0.26 mm and 4.5 % are the shop's own, drawn so that
        standard threads known to be mixed up (2 BA and 10-32 UNF, M5 and 10-32 UNF) raise it.

    >>> from handwheel.engineering.thread_series import thread
    >>> found = compare(thread("2 BA"), thread("10-32 UNF"))
    >>> found.likeness.name, round(found.diameter * 1e3, 3), f"{found.pitch:+.1%}"
    ('BINDS', -0.126, '+2.0%')
    """
    diameter, effective = screw.diameter - hole.diameter, screw.effective - hole.effective
    pitch = (screw.pitch - hole.pitch) / hole.pitch
    likeness = _likeness(diameter, pitch, screw.form.angle == hole.form.angle)
    binds = _binds_after(screw, hole, effective, pitch) if likeness is Likeness.BINDS else None
    return Comparison(screw, hole, likeness, diameter, pitch, effective, binds)


def _likeness(diameter: float, pitch: float, one_angle: bool) -> Likeness:
    if abs(pitch) > NEAR_PITCH:
        return Likeness.CROSSES
    if abs(pitch) > SAME_PITCH:
        return Likeness.BINDS if abs(diameter) <= NEAR_DIAMETER else Likeness.CROSSES
    if not one_angle and abs(diameter) <= NEAR_DIAMETER:
        return Likeness.OTHER_ANGLE
    return Likeness.SAME if abs(diameter) <= SAME_DIAMETER else Likeness.OTHER_DIAMETER


def _binds_after(screw: Thread, hole: Thread, effective: float, pitch: float) -> Span | None:
    """Engagement at which drift uses up the play; None when even the loosest pair does not start."""
    play = clearance(hole)
    least, most = max(0.0, play.low - effective), play.high - effective
    if most <= 0:
        return None
    reach = math.tan(min(screw.form.half_angle, hole.form.half_angle)) / abs(pitch)
    return Span(least * reach, most * reach)


def look_alikes(thread: Thread, among: Iterable[Thread]) -> tuple[Comparison, ...]:
    """Threads that may be taken for this one by eye, as screws in its hole, the worst first.

    Formula: |d1 - d2| <= 0.41 mm and |P1 - P2| / P2 <= 1/3.

    Args:
        thread: the thread of the hole.
        among: threads to compare with; the thread itself is left out.

    Returns:
        comparisons within 0.41 mm of diameter and a third of the pitch; those that bind first, then by nearness.

    Source: as `compare`.

    >>> from handwheel.engineering.thread_series import all_threads, thread
    >>> [c.screw.name for c in look_alikes(thread("10-32 UNF"), all_threads()) if c.likeness is Likeness.BINDS]
    ['2 BA', 'M5']
    """
    order = [Likeness.BINDS, Likeness.OTHER_ANGLE, Likeness.CROSSES, Likeness.OTHER_DIAMETER, Likeness.SAME]
    found = (compare(other, thread) for other in among if other.name != thread.name)
    near = (c for c in found if abs(c.diameter) <= IN_SIGHT and abs(c.pitch) <= 1 / 3)
    return tuple(sorted(near, key=lambda c: (order.index(c.likeness), abs(c.diameter), abs(c.pitch), c.screw.name)))
