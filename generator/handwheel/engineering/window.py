"""The tightening window: from the torque that surely clamps to the torque at which the first thing may give way.

Below stands the least clamp force with the most friction; above the first of: the screw yields, its slot or the
blade gives way, the thread of the hole strips, the thread of the screw strips, each with the least
friction. When the two cross there is no window, and that is the answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.blades import Blade, Slot, misfit, slot_torque
from handwheel.engineering.ranges import Range, Span
from handwheel.engineering.strength import BRASS_SCREWS, HoleMetal, ScrewMetal
from handwheel.engineering.stripping import ENGAGEMENTS, strip_areas
from handwheel.engineering.threads import Thread
from handwheel.engineering.tightening import FORCES, Friction, clamp_at_yield, torque_at
from handwheel.engineering.units import significant

YIELD_SHARE = 0.9
"""Share of yield used by tension and torsion together, VDI 2230."""
RESERVE = 1.5
"""What strength of an old casting's thread is divided by: tables are for sound test bars (common practice)."""
BRASS_SHARE = 0.6
"""Share of a brass screw's breaking torque that may be used; suppliers' figures lie at 0.58 to 0.67 (ISO 8839)."""
RESERVES = Range(1.0, 10.0)

_YIELD = Basis("VDI 2230:2001", "assembly preload at 90 % of yield", Standing.PARTLY, "formula confirmed by its table")
_SLOT = Basis("statics of the slot's walls", "", Standing.COMPUTED)


@dataclass(frozen=True)
class Joint:
    """A screw in its hole, as far as the window needs it.

    Args:
        thread: the thread.
        engagement: length of full thread in the hole [m], 0.2 to 60 mm.
        screw: metal of the screw.
        hole: metal of the hole.
        friction: friction in the thread and under the head.
        bearing: mean diameter under the head [m].
        slot: the slot as measured, or None when it was not.
        blade: the blade used, or None.
        reserve: what the strength of the hole's thread is divided by, 1 to 10.
    """

    thread: Thread
    engagement: float
    screw: ScrewMetal
    hole: HoleMetal
    friction: Friction
    bearing: float
    slot: Slot | None = None
    blade: Blade | None = None
    reserve: float = RESERVE

    def __post_init__(self) -> None:
        ENGAGEMENTS.check(self.engagement, "length of engagement")
        RESERVES.check(self.reserve, "reserve on the hole's thread")
        if self.slot and self.blade and (why := misfit(self.blade, self.slot.width, self.slot.length)):
            raise ValueError(why)


@dataclass(frozen=True)
class Limit:
    """One thing that gives way: at which torque [N m], from least friction and strength to most, and why."""

    what: str
    torque: Span
    arithmetic: str
    rests_on: tuple[Basis, ...]

    @property
    def may_permit(self) -> bool:
        """Whether all that it rests on was seen, measured or computed; else it may only lower a limit."""
        return all(basis.standing.may_permit for basis in self.rests_on)


@dataclass(frozen=True)
class Window:
    """The torques [N m] between the least clamp and the first thing that may give way.

    Args:
        clamps: torque that gives the least clamp force, from least to most friction.
        limits: what gives way, the first one first.
    """

    clamps: Span
    limits: tuple[Limit, ...]

    @property
    def low(self) -> float:
        """The torque that clamps whatever the friction is."""
        return self.clamps.high

    @property
    def high(self) -> float:
        """The torque at which the first thing may give way."""
        return self.first.torque.low

    @property
    def first(self) -> Limit:
        """What gives way first."""
        return self.limits[0]

    @property
    def span(self) -> Span | None:
        """The window, or None when it is closed: no torque both holds and spares."""
        return Span(self.low, self.high) if self.low <= self.high else None

    @property
    def may_permit(self) -> bool:
        """Whether no limit rests on memory or common practice: a higher limit from memory may really lie lower."""
        return all(limit.may_permit for limit in self.limits)

    def verdict(self, torque: float) -> str:
        """Where a torque lies, in words: inside, too little, too much."""
        Range(0.0, 2e3, "N m").check(torque, "torque")
        if torque > self.high:
            return f"too much: {self.first.what} at {self.high:.3g} N m"
        return "inside" if torque >= self.low else f"too little: it may not clamp below {self.low:.3g} N m"


def window(joint: Joint, least_clamp: float) -> Window:
    """The tightening window of a joint.

    Formula: low = T(least clamp, most friction), high = least of T(yield), T(strip in hole), T(strip on screw) with
    least friction, and what slot and blade bear [N m].

    Args:
        joint: the joint; every figure in it is checked against its own range.
        least_clamp: clamp force that the joint needs [N], 0 to 1 MN.

    Returns:
        the window; closed when nothing fits.

    Source: long-form torque (Shigley, Eq. (8-26)); yield as VDI 2230; strip areas as FED-STD-H28/2B; blade's
        test torque as ISO 2380-1.

    >>> from handwheel.engineering.strength import hole_metal, screw_metal
    >>> from handwheel.engineering.thread_series import thread
    >>> from handwheel.engineering.tightening import OILED
    >>> joint = Joint(thread("M4"), 0.003, screw_metal("4.8"), hole_metal("zinc alloy"), OILED, 0.00575)
    >>> found = window(joint, 500.0)
    >>> found.first.what, round(found.low, 2), round(found.high, 2)
    ('the screw yields', 0.45, 1.25)
    """
    FORCES.check(least_clamp, "least clamp force")
    limits = sorted(_limits(joint), key=lambda limit: limit.torque.low)
    return Window(_torques(joint, Span.exactly(least_clamp)), tuple(limits))


def _torques(joint: Joint, clamp: Span) -> Span:
    friction = joint.friction
    return Span(
        torque_at(clamp.low, joint.thread, friction.thread.low, friction.head.low, joint.bearing),
        torque_at(clamp.high, joint.thread, friction.thread.high, friction.head.high, joint.bearing),
    )


def _limits(joint: Joint) -> Iterator[Limit]:
    yield _yields(joint)
    yield from _strips(joint)
    if joint.slot and joint.blade:
        torque = slot_torque(joint.screw.yield_strength, joint.slot, joint.blade)
        breadth = min(joint.blade.width, joint.slot.length) * 1e3
        told = (
            f"{joint.screw.yield_strength / 1e6:.3g} MPa x {joint.slot.depth * 1e3:.3g} mm x ({breadth:.3g} mm)^2 / 6"
        )
        yield Limit("the slot gives way", Span.exactly(torque), told, (_SLOT, joint.screw.basis))
    if joint.blade:
        told = f"test torque of blade {joint.blade.name}"
        yield Limit("the blade gives way", Span.exactly(joint.blade.test_torque), told, (joint.blade.basis,))
    yield from _brass(joint)


def _yields(joint: Joint) -> Limit:
    """The screw at 90 % of yield: more thread friction means less clamp at yield, and more torque for it."""
    torques = []
    for in_thread, under_head in _friction_ends(joint.friction):
        clamp = clamp_at_yield(joint.thread, joint.screw.yield_strength, in_thread, YIELD_SHARE)
        torques.append(torque_at(clamp, joint.thread, in_thread, under_head, joint.bearing))
    area = joint.thread.stress_area * 1e6
    told = f"{YIELD_SHARE} x {joint.screw.yield_strength / 1e6:.3g} MPa on {area:.3g} mm^2, less for torsion"
    rests = (_YIELD, joint.screw.basis, joint.thread.basis, joint.friction.basis)
    return Limit("the screw yields", Span(min(torques), max(torques)), told, rests)


def _friction_ends(friction: Friction) -> Iterator[tuple[float, float]]:
    for in_thread in (friction.thread.low, friction.thread.high):
        for under_head in (friction.head.low, friction.head.high):
            yield in_thread, under_head


def _strips(joint: Joint) -> Iterator[Limit]:
    areas = strip_areas(joint.thread, joint.engagement)
    shared = (joint.thread.basis, joint.friction.basis)
    hole = joint.hole.shear * (areas.hole / joint.reserve)
    least = significant(hole.low, 4)
    told = f"{joint.hole.shear.low / 1e6:.3g} MPa x {areas.hole * 1e6:.3g} mm^2 / {joint.reserve:g} = {least} N"
    yield Limit(
        "the thread of the hole strips", _torques(joint, hole), told, (areas.hole_basis, joint.hole.basis, *shared)
    )
    screw = Span.exactly(joint.screw.shear * areas.screw)
    told = f"{joint.screw.shear / 1e6:.3g} MPa x {areas.screw * 1e6:.3g} mm^2 = {significant(screw.low, 4)} N"
    rests = (areas.screw_basis, joint.screw.basis, *shared)
    yield Limit("the thread of the screw strips", _torques(joint, screw), told, rests)


def _brass(joint: Joint) -> Iterator[Limit]:
    """Brass screws twist off: their breaking torque is tabled and stands as a limit of its own."""
    row = next((r for r in BRASS_SCREWS.rows if r["size"] == joint.thread.name), None)
    if joint.screw.name == "brass" and row and "breaking torque" in row:
        torque = BRASS_SHARE * float(row["breaking torque"])
        told = f"{BRASS_SHARE} x breaking torque {row['breaking torque']} N m"
        yield Limit("the brass screw may twist off", Span.exactly(torque), told, (BRASS_SCREWS.basis,))
