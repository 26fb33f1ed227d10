"""Torque and clamp force: the long form with both frictions, the short form with its scatter.

Friction is known only as a span, so torque for a clamp force is a span, and clamp force for a torque too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.ranges import Range, Span
from handwheel.engineering.threads import Thread, lead_angle

FORCES = Range(0.0, 1e6, "N")
TORQUES = Range(0.0, 2e3, "N m")
FRICTIONS = Range(0.0, 1.0)
HEAD_DIAMETERS = Range(0.5e-3, 80e-3, "mm", si=1e-3)
NUT_FACTORS = Range(0.05, 0.6)

LONG_FORM = Basis("Shigley's Mechanical Engineering Design, 9th ed.", "Eq. (8-26), p. 439", Standing.SEEN)


@dataclass(frozen=True)
class Friction:
    """Coefficients of friction in the thread and under the head, each a span, and what they rest on."""

    name: str
    thread: Span
    head: Span
    basis: Basis

    def __post_init__(self) -> None:
        for end in (self.thread.low, self.thread.high, self.head.low, self.head.high):
            FRICTIONS.check(end, "coefficient of friction")


_CLASSES = Basis("friction classes after VDI 2230, applied to old screws", "", Standing.MEMORY)

OILED = Friction("oiled", Span(0.08, 0.16), Span(0.08, 0.16), _CLASSES)
DRY = Friction("dry and clean", Span(0.14, 0.24), Span(0.14, 0.24), _CLASSES)
ROUGH = Friction("rough or rusted", Span(0.20, 0.35), Span(0.20, 0.35), _CLASSES)


def torque_long(
    clamp: float, effective: float, pitch: float, half_angle: float, thread: float, head: float, bearing: float
) -> float:
    """Tightening torque for a clamp force, long form, T = (F d2 / 2) (tan L + f sec a) / (1 - f tan L sec a) + F fc dc / 2.

    Args:
        clamp: clamp force F [N], 0 to 1 MN.
        effective: effective diameter d2 [m], 0.5 to 30 mm.
        pitch: pitch [m], 0.15 to 4 mm; with d2 it gives the lead angle L.
        half_angle: half of the flank angle a [rad], 0 to 30 degrees.
        thread: coefficient of friction in the thread f, 0 to 1.
        head: coefficient of friction under the head fc, 0 to 1.
        bearing: mean diameter of the surface under the head dc [m], 0.5 to 80 mm.

    Returns:
        torque [N m].

    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. (8-26); example 8-3 (3/4-16, 25 kip) gives 3551 lbf in.

    >>> kip, inch = 4448.2216, 0.0254
    >>> t = torque_long(25 * kip, 0.7094 * inch, inch / 16, math.radians(30), 0.15, 0.15, 1.25 * 0.75 * inch)
    >>> round(t / 0.1129848)
    3551
    """  # noqa: E501
    FORCES.check(clamp, "clamp force")
    FRICTIONS.check(thread, "coefficient of friction in the thread")
    return clamp * torque_per_force(effective, pitch, half_angle, thread, head, bearing)


def torque_per_force(
    effective: float, pitch: float, half_angle: float, thread: float, head: float, bearing: float
) -> float:
    """Torque per unit of clamp force [m]; arguments as in `torque_long`.

    Formula: T / F = (d2 / 2) (tan l + f sec a) / (1 - f tan l sec a) + fc D / 2.
    Source: that of `torque_long`.

    >>> round(torque_per_force(0.003545, 0.0007, math.radians(30), 0.12, 0.12, 0.00575) * 1e3, 3)
    0.705
    """
    Range(0.0, math.radians(30) + 1e-9, "rad").check(half_angle, "half of the flank angle")
    FRICTIONS.check(thread, "coefficient of friction in the thread")
    FRICTIONS.check(head, "coefficient of friction under the head")
    HEAD_DIAMETERS.check(bearing, "mean diameter under the head")
    lead, flank = math.tan(lead_angle(effective, pitch)), thread / math.cos(half_angle)
    return effective / 2 * (lead + flank) / (1 - flank * lead) + head * bearing / 2


def bearing_diameter(head: float, hole: float) -> float:
    """Mean diameter of the ring under a head.

    Formula: D_Km = (d_w + d_h) / 2.

    Args:
        head: outside diameter of the bearing face [m], 0.5 to 80 mm, larger than the hole.
        hole: diameter of the clearance hole [m].

    Returns:
        mean diameter [m].

    Source: VDI 2230, D_Km.

    >>> round(bearing_diameter(0.01163, 0.009) * 1e3, 3)
    10.315
    """
    HEAD_DIAMETERS.check(head, "head diameter")
    Range(0.0, head, "mm", si=1e-3).check(hole, "hole under the head")
    return (head + hole) / 2


def torque_span(clamp: Span, thread: Thread, friction: Friction, bearing: float) -> Span:
    """Torque that a clamp force asks for, over the whole span of friction.

    Formula: T = F (T / F), as `torque_per_force`, at both ends.

    Args:
        clamp: clamp force [N], 0 to 1 MN.
        thread: the thread; its form gives the flank angle.
        friction: spans of friction in the thread and under the head, each 0 to 1.
        bearing: mean diameter under the head [m], 0.5 to 80 mm.

    Returns:
        torque [N m], from least friction and clamp to most.

    Source: as `torque_long`, which rises with clamp force and with both frictions.

    >>> from handwheel.engineering.thread_series import thread
    >>> torque_span(Span.exactly(1500), thread("M4"), OILED, 0.00575).through(lambda t: round(t, 2))
    Span(low=0.76, high=1.36)
    """
    low = torque_at(clamp.low, thread, friction.thread.low, friction.head.low, bearing)
    high = torque_at(clamp.high, thread, friction.thread.high, friction.head.high, bearing)
    return Span(low, high)


def torque_at(clamp: float, thread: Thread, in_thread: float, under_head: float, bearing: float) -> float:
    """Long form for a named thread at one pair of friction coefficients [N m].

    Formula: T = F (T / F), as `torque_per_force`.
    Source: that of `torque_long`.

    >>> from handwheel.engineering.thread_series import thread
    >>> round(torque_at(1500, thread("M4"), 0.12, 0.12, 0.00575), 2)
    1.06
    """
    return torque_long(
        clamp, thread.effective, thread.pitch, thread.form.half_angle, in_thread, under_head, bearing
    )  # fmt: skip


def clamp_span(torque: Span, thread: Thread, friction: Friction, bearing: float) -> Span:
    """Clamp force that a torque gives, over the whole span of friction.

    Formula: F = T / (T / F), as `torque_per_force`, at both ends.

    Args:
        torque: tightening torque [N m], 0 to 2000 N m.
        thread: the thread.
        friction: spans of friction, each 0 to 1.
        bearing: mean diameter under the head [m], 0.5 to 80 mm.

    Returns:
        clamp force [N]; the least with the most friction.

    Source: `torque_long` solved for F, in which it is linear.

    >>> from handwheel.engineering.thread_series import thread
    >>> clamp_span(Span.exactly(1.0), thread("M4"), OILED, 0.00575).through(round)
    Span(low=1106, high=1973)
    """
    for end in (torque.low, torque.high):
        TORQUES.check(end, "torque")
    least = torque_at(1.0, thread, friction.thread.low, friction.head.low, bearing)
    most = torque_at(1.0, thread, friction.thread.high, friction.head.high, bearing)
    return Span(torque.low / most, torque.high / least)


def torque_handbook(clamp: float, diameter: float, pitch: float, friction: float) -> float:
    """Torque with one friction for thread and head, handbook estimate T = F (0.159 l + 1.156 mu d).

    Args:
        clamp: clamp force F [N], 0 to 1 MN.
        diameter: major diameter d [m], 0.7 to 80 mm.
        pitch: lead l [m], 0.15 to 4 mm.
        friction: coefficient mu for both, 0 to 1.

    Returns:
        torque [N m]; assumes d2 = 0.92 d and a bearing face of 1.5 d, so hexagon heads.

    Source: Machinery's Handbook, 31st ed., p. 1665, Eq. (24): 1/2-13 at 11 707 lbf and mu 0.15 gives 1158 lbf in.

    >>> round(torque_handbook(11707 * 4.4482216, 0.0127, 0.0254 / 13, 0.15) / 0.1129848)
    1158
    """
    FORCES.check(clamp, "clamp force")
    HEAD_DIAMETERS.check(diameter, "major diameter")
    Range(0.15e-3, 4e-3, "mm", si=1e-3).check(pitch, "lead")
    FRICTIONS.check(friction, "coefficient of friction")
    return clamp * (0.159 * pitch + 1.156 * friction * diameter)


@dataclass(frozen=True)
class NutFactor:
    """The short form's K for a condition of the surface; where books disagree it is their whole band."""

    condition: str
    factor: Span
    basis: Basis


_BOTH = Basis(
    "Shigley 9th ed., Table 8-15, and Handbook of Bolts and Bolted Joints, ch. 2, Table 1",
    "",
    Standing.SEEN,
    "they disagree",
)
_ONE = Basis("Shigley's Mechanical Engineering Design, 9th ed.", "Table 8-15", Standing.SEEN)

NUT_FACTOR_TABLE = (
    NutFactor("bare or black", Span(0.20, 0.30), _BOTH),
    NutFactor("zinc plated", Span(0.20, 0.295), _BOTH),
    NutFactor("lubricated", Span(0.18, 0.18), _ONE),
    NutFactor("cadmium plated", Span(0.16, 0.20), _BOTH),
)

SCATTER = 0.30
"""Share by which the clamp force of a torque-tightened screw scatters in practice (common practice; ten lubricated
bolts in Shigley's Table 8-14 had a standard deviation of 8.4 %)."""


def torque_short(factor: float, diameter: float, clamp: float) -> float:
    """Tightening torque, short form, T = K d F.

    Args:
        factor: nut factor K, 0.05 to 0.6.
        diameter: major diameter d [m], 0.5 to 80 mm.
        clamp: clamp force F [N], 0 to 1 MN.

    Returns:
        torque [N m].

    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. (8-27); 3/4 in, 25 kip, K 0.20 gives 3750 lbf in.

    >>> round(torque_short(0.20, 0.01905, 25 * 4448.2216) / 0.1129848)
    3750
    """
    NUT_FACTORS.check(factor, "nut factor K")
    HEAD_DIAMETERS.check(diameter, "major diameter")
    FORCES.check(clamp, "clamp force")
    return factor * diameter * clamp


def clamp_short(torque: float, diameter: float, factor: Span, scatter: float = SCATTER) -> Span:
    """Clamp force from a torque by the short form, F = T / (K d), widened by the scatter of practice.

    Args:
        torque: tightening torque [N m], 0 to 2000 N m.
        diameter: major diameter [m], 0.5 to 80 mm.
        factor: nut factor K as a span, 0.05 to 0.6.
        scatter: share by which single screws differ, 0 to 0.5; 0.30 is common practice.

    Returns:
        clamp force [N] as a span.

    Source: Shigley's Mechanical Engineering Design, 9th ed., Eq. (8-27) and Table 8-14.

    >>> clamp_short(1.0, 0.004, Span(0.18, 0.18)).through(round)
    Span(low=972, high=1806)
    """
    TORQUES.check(torque, "torque")
    HEAD_DIAMETERS.check(diameter, "major diameter")
    Range(0.0, 0.5).check(scatter, "scatter")
    NUT_FACTORS.check(factor.low, "nut factor K"), NUT_FACTORS.check(factor.high, "nut factor K")
    return Span(torque / (factor.high * diameter) * (1 - scatter), torque / (factor.low * diameter) * (1 + scatter))


def clamp_at_yield(thread: Thread, yield_strength: float, friction: float, share: float = 0.9) -> float:
    """Clamp force at a share of yield under tension and the torsion of tightening.

    F = A0 share Re / sqrt(1 + 3 (1.5 (d2 / d0) (P / (pi d2) + mu / cos a))^2), d0 the stress diameter.

    Args:
        thread: the thread; 1 / cos a is 1.155 at 60 degrees.
        yield_strength: yield or proof strength of the screw Re [Pa], 20 MPa to 2 GPa.
        friction: coefficient of friction in the thread, 0 to 1.
        share: share of yield that is used, 0.1 to 1; 0.9 in VDI 2230.

    Returns:
        clamp force [N].

    Source: VDI 2230:2001, assembly preload; M8 x 1, class 8.8, mu 0.12 gives 20.2 kN in its table.

    >>> from handwheel.engineering.thread_series import thread
    >>> round(clamp_at_yield(thread("M8x1"), 640e6, 0.12), -2)
    20200.0
    """
    Range(20e6, 2e9, "MPa", si=1e6).check(yield_strength, "yield strength")
    FRICTIONS.check(friction, "coefficient of friction in the thread")
    Range(0.1, 1.0).check(share, "share of yield")
    stress_diameter = thread.diameter - thread.form.stress * thread.pitch
    torsion = thread.pitch / (math.pi * thread.effective) + friction / math.cos(thread.form.half_angle)
    factor = 1.5 * thread.effective / stress_diameter * torsion
    return thread.stress_area * share * yield_strength / math.sqrt(1 + 3 * factor**2)


def rim_force(torque: float, handle: float) -> float:
    """Force at the rim of a driver's handle that makes a torque, F = T / (D / 2).

    For a bench without a torque driver: pull at the rim with a spring balance, square to the radius.

    Args:
        torque: torque [N m], 0 to 20 N m.
        handle: diameter of the handle D [m], 5 to 150 mm.

    Returns:
        force [N].

    Source: a torque is a force times its lever.

    >>> round(rim_force(0.7, 0.028), 1)
    50.0
    """
    Range(0.0, 20.0, "N m").check(torque, "torque at a handle")
    Range(5e-3, 0.15, "mm", si=1e-3).check(handle, "handle diameter")
    return torque / (handle / 2)
