"""Thread geometry: 60 degree ISO and Unified, 55 degree Whitworth, 47.5 degree BA.

Basic sizes only, in metres. Every function refuses diameters and pitches outside those for which
screws of this trade exist, and pitches too coarse for their diameter, which a slip of unit gives.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.ranges import Range

DIAMETERS = Range(0.7e-3, 30e-3, "mm", si=1e-3)
PITCHES = Range(0.15e-3, 4e-3, "mm", si=1e-3)
PITCH_TO_DIAMETER = Range(0.02, 0.36)


class Form(Enum):
    """A thread form: flank angle, then what is taken off the diameter, in pitches.

    Sources: ISO 68-1 and ISO 724 (ISO), ASME B1.1 (Unified), BS 84 (Whitworth), BS 93 (BA). The stress
    diameter of the two British forms is the mean of effective and minor, as in the others: common practice.
    """

    ISO = ("ISO metric", 60.0, 0.649519, 1.082532, 1.226869, 0.938194)
    UNIFIED = ("Unified", 60.0, 0.649519, 1.082532, 1.299038, 0.974279)
    WHITWORTH = ("Whitworth", 55.0, 0.640327, 1.280654, 1.280654, 0.9604905)
    BA = ("British Association", 47.5, 0.6, 1.2, 1.2, 0.9)

    def __init__(self, title: str, angle: float, effective: float, minor: float, root: float, stress: float) -> None:
        self.title = title
        self.angle = angle
        self.effective = effective
        self.minor = minor
        self.root = root
        self.stress = stress

    @property
    def half_angle(self) -> float:
        """Half the flank angle [rad]."""
        return math.radians(self.angle / 2)


def check(diameter: float, pitch: float) -> None:
    """Refuse what is no thread of this trade.

    Formula: 0.02 <= P / d <= 0.36, besides the ranges of each.

    Args:
        diameter: major diameter [m], 0.7 to 30 mm.
        pitch: pitch [m], 0.15 to 4 mm and 0.02 to 0.36 of the diameter.

    Source: the finest and coarsest threads of the series kept here, with room; the shop's own choice.

    >>> check(0.004, 0.0007)
    >>> check(0.004, 0.7)
    Traceback (most recent call last):
        ...
    handwheel.engineering.ranges.OutOfRange: pitch 700 mm is outside 0.15 mm to 4 mm
    """
    DIAMETERS.check(diameter, "major diameter")
    PITCHES.check(pitch, "pitch")
    if pitch / diameter not in PITCH_TO_DIAMETER:  # put into words only where it must be told: asked very often
        what = f"pitch {pitch * 1e3:.4g} mm on diameter {diameter * 1e3:.4g} mm, as ratio"
        PITCH_TO_DIAMETER.check(pitch / diameter, what)


def fundamental_height(form: Form, pitch: float) -> float:
    """Height of the sharp triangle, H = P / (2 tan(angle / 2)).

    Args:
        form: the thread form; 60, 55 or 47.5 degrees.
        pitch: pitch [m], 0.15 to 4 mm.

    Returns:
        H [m]: 0.866025 P, 0.960491 P, 1.136337 P.

    Source: ISO 68-1 (60 degrees), BS 84 (55), BS 93 (47.5).

    >>> round(fundamental_height(Form.WHITWORTH, 0.001) * 1e3, 6)
    0.960491
    """
    PITCHES.check(pitch, "pitch")
    return pitch / (2 * math.tan(form.half_angle))


def effective_diameter(form: Form, diameter: float, pitch: float) -> float:
    """Effective (pitch) diameter.

    Formula: d2 = d - 0.649519 P at 60 degrees, d - 0.640327 P Whitworth, d - 0.6 P BA.

    Args:
        form: the thread form.
        diameter: major diameter [m], 0.7 to 30 mm.
        pitch: pitch [m], 0.15 to 4 mm.

    Returns:
        basic effective diameter [m].

    Source: ISO 724; ASME B1.1; BS 84; BS 93 (2 BA: 4.215 mm in Machinery's Handbook, 31st ed., p. 2115).

    >>> round(effective_diameter(Form.ISO, 0.004, 0.0007) * 1e3, 3), round(effective_diameter(Form.BA, 0.0047, 0.00081) * 1e3, 3)
    (3.545, 4.214)
    """  # noqa: E501
    check(diameter, pitch)
    return diameter - form.effective * pitch


def minor_diameter(form: Form, diameter: float, pitch: float) -> float:
    """Minor diameter of the nut's thread.

    Formula: D1 = d - 1.082532 P at 60 degrees, d - 1.280654 P Whitworth, d - 1.2 P BA.

    Args:
        form: the thread form.
        diameter: major diameter [m], 0.7 to 30 mm.
        pitch: pitch [m], 0.15 to 4 mm.

    Returns:
        basic minor diameter [m].

    Source: ISO 724; ASME B1.1; BS 84; BS 93.

    >>> round(minor_diameter(Form.ISO, 0.004, 0.0007) * 1e3, 3)
    3.242
    """
    check(diameter, pitch)
    return diameter - form.minor * pitch


def root_diameter(form: Form, diameter: float, pitch: float) -> float:
    """Root diameter of the screw.

    Formula: d3 = d - 1.226869 P ISO (rounded root), d - 1.299038 P Unified (footnote form).

    Args:
        form: the thread form; the British forms have the same minor diameter on screw and nut.
        diameter: major diameter [m], 0.7 to 30 mm.
        pitch: pitch [m], 0.15 to 4 mm.

    Returns:
        root diameter [m].

    Source: ISO 68-1 design profile; Shigley's Mechanical Engineering Design, 9th ed., footnote to Table 8-2.

    >>> round(root_diameter(Form.ISO, 0.004, 0.0007) * 1e3, 3)
    3.141
    """
    check(diameter, pitch)
    return diameter - form.root * pitch


def stress_area(form: Form, diameter: float, pitch: float) -> float:
    """Tensile stress area, A = (pi / 4) (d - c P)^2, c = 0.938194 ISO and 0.974279 Unified.

    The two coefficients differ because the roots do: the ISO one on a Unified thread is a mistake of 2 % at 10-24.

    Args:
        form: the thread form.
        diameter: major diameter [m], 0.7 to 30 mm.
        pitch: pitch [m], 0.15 to 4 mm.

    Returns:
        stress area [m^2].

    Source: ISO 898-1 (nominal stress area); ASME B1.1 as FED-STD-H28/2B, Table II.B.1, formulas (1a) and (1b);
        0.960491 Whitworth and 0.9 BA are the mean of effective and minor diameter: common practice.

    >>> round(stress_area(Form.ISO, 0.005, 0.0008) * 1e6, 3)
    14.183
    """
    check(diameter, pitch)
    return math.pi / 4 * (diameter - form.stress * pitch) ** 2


def lead_angle(effective: float, pitch: float) -> float:
    """Lead angle of a single-start thread, tan(lambda) = P / (pi d2).

    Args:
        effective: effective diameter [m], 0.5 to 30 mm.
        pitch: pitch [m], 0.15 to 4 mm.

    Returns:
        lead angle [rad].

    Source: geometry of the helix; Shigley's Mechanical Engineering Design, 9th ed., section 8-2.

    >>> round(math.degrees(lead_angle(0.003545, 0.0007)), 2)
    3.6
    """
    Range(0.5e-3, 30e-3, "mm", si=1e-3).check(effective, "effective diameter")
    PITCHES.check(pitch, "pitch")
    return math.atan(pitch / (math.pi * effective))


NO_BASIS = Basis("no source given", "", Standing.MEMORY)


@dataclass(frozen=True)
class Thread:
    """A thread by name: form, major diameter [m], pitch [m], the series that it belongs to, what that rests on.

    Its name in words bears the mark of a thread whose sizes nobody verified.

    >>> print(Thread("M4", Form.ISO, 0.004, 0.0007, "ISO coarse"))
    M4 (ISO coarse, unverified)
    """

    name: str
    form: Form
    diameter: float
    pitch: float
    series: str = ""
    basis: Basis = NO_BASIS

    def __post_init__(self) -> None:
        check(self.diameter, self.pitch)

    def __str__(self) -> str:
        notes = ", ".join(filter(None, (self.series, "" if self.verified else "unverified")))
        return f"{self.name} ({notes})" if notes else self.name

    @property
    def called(self) -> str:
        """Its name alone, with the mark of a thread whose sizes nobody verified."""
        return self.name if self.verified else f"{self.name} (unverified)"

    @property
    def effective(self) -> float:
        """Basic effective diameter [m]."""
        return effective_diameter(self.form, self.diameter, self.pitch)

    @property
    def minor(self) -> float:
        """Basic minor diameter of the nut's thread [m]."""
        return minor_diameter(self.form, self.diameter, self.pitch)

    @property
    def root(self) -> float:
        """Root diameter of the screw [m]."""
        return root_diameter(self.form, self.diameter, self.pitch)

    @property
    def stress_area(self) -> float:
        """Tensile stress area [m^2]."""
        return stress_area(self.form, self.diameter, self.pitch)

    @property
    def lead_angle(self) -> float:
        """Lead angle [rad]."""
        return lead_angle(self.effective, self.pitch)

    @property
    def verified(self) -> bool:
        """Whether diameter and pitch were read in a published table or computed from its formula."""
        return self.basis.standing.may_permit
