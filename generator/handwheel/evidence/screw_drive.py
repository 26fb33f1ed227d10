"""A slot as measured: the blade for it, what slot and blade bear, and where a screw's window then ends.

For the question 'what screw is this?', on the page and at the command line alike. A slot of unmarked steel is taken
at the yield of the weakest class, by common practice: it may lower a limit and permits nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.engineering.blades import SLOT_DEPTHS, SLOT_LENGTHS, SLOT_WIDTHS, Blade, Slot, blade_for, slot_torque
from handwheel.engineering.strength import screw_metal
from handwheel.engineering.threads import Thread
from handwheel.engineering.tightening import FORCES, OILED, rim_force, torque_at
from handwheel.engineering.units import Dimension, format_both
from handwheel.evidence.screw_table import GivesWay, bearing_of, gives_way
from handwheel.evidence.screws import HANDLE, SCREW

NO_TORQUE = "no torque both holds and spares it"
AT_A_HANDLE = 20.0
"""Torque [N m] up to which a handle is turned by hand: the range of the sum for the force at its rim."""
AT_THE_RIM = f" at the rim of a {HANDLE * 1e3:g} mm handle"


@dataclass(frozen=True)
class Driven:
    """The blade for a measured slot, and the torque [N m] at which the slot gives way; None without a depth."""

    blade: Blade
    bears: float | None

    @property
    def first(self) -> GivesWay:
        """What of slot and blade gives way first."""
        test = GivesWay(self.blade.test_torque, "the blade gives way")
        slot = GivesWay(self.bears, "the slot gives way") if self.bears is not None else test
        return min(slot, test, key=lambda each: each.torque)


def driven(width: float, length: float, depth: float | None) -> Driven:
    """The blade for a slot and what the slot bears.

    Raises:
        OutOfRange: a slot that no screw of this trade has.
        NoBlade: no blade of the standard fits it.

    >>> found = driven(0.00126, 0.007, 0.0011)
    >>> found.blade.name, round(found.bears, 2), found.first.what
    ('1.2x6.5', 1.86, 'the slot gives way')
    """
    SLOT_WIDTHS.check(width, "slot width")
    SLOT_LENGTHS.check(length, "slot length")
    tip = blade_for(width, length)
    if depth is None:
        return Driven(tip, None)
    SLOT_DEPTHS.check(depth, "slot depth")
    return Driven(tip, slot_torque(screw_metal(SCREW).yield_strength, Slot(width, length, depth), tip))


@dataclass(frozen=True)
class Ends:
    """The ends of a window: the torque [N m] that surely clamps, None where no clamp is told; what gives way."""

    low: float | None
    high: GivesWay

    @property
    def closed(self) -> bool:
        """Whether no torque both holds and spares."""
        return self.low is not None and self.low > self.high.torque


def per_newton(thread: Thread) -> float:
    """Torque [N m] for each newton of clamp, with the most friction of an oiled thread; torque rises with clamp."""
    return torque_at(1.0, thread, OILED.thread.high, OILED.head.high, bearing_of(thread))


def ends(thread: Thread, metal: str, drive: Driven | None = None, clamp: float | None = None) -> Ends:
    """Both ends of the window of a screw in a metal.

    Raises:
        OutOfRange: a clamp force that no screw here gives.
    """
    limits = [gives_way(thread, metal), *([drive.first] if drive else [])]
    low = FORCES.check(clamp, "clamp force") * per_newton(thread) if clamp is not None else None
    return Ends(low, min(limits, key=lambda each: each.torque))


def torque_words(torque: float) -> str:
    """A torque in both units, and the force at the rim of a handle that makes it.

    >>> torque_words(0.7)
    '0.7 N m (6.2 in lbf), 50 N (11.2 lbf) at the rim of a 28 mm handle'
    """
    told = format_both(torque, Dimension.TORQUE)
    if torque > AT_A_HANDLE:
        return told
    return f"{told}, {format_both(rim_force(torque, HANDLE), Dimension.FORCE)}{AT_THE_RIM}"


def ends_words(found: Ends, clamp: float | None) -> str:
    """The window in a sentence, and which thing makes each end."""
    above = f"{found.high.what} from {torque_words(found.high.torque)}"
    if found.low is None or clamp is None:
        return above
    below = f"{format_both(clamp, Dimension.FORCE)} of clamp may take {torque_words(found.low)}"
    return f"{NO_TORQUE}: {below}; {above}" if found.closed else f"{below}; {above}"


def drive_words(found: Driven) -> str:
    """The blade and what slot and blade bear, in a sentence."""
    tip = found.blade
    tested = format_both(tip.test_torque, Dimension.TORQUE)
    blade = f"{tip.name} fits the slot; it is tested with {tested}, {tip.basis.source}, {tip.basis.locator}"
    if found.bears is None:
        return f"{blade}; measure the depth of the slot to see what it bears"
    return f"{blade}; the slot gives way from {torque_words(found.bears)}, if the blade stands on its ground"
