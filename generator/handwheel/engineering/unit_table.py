"""Kinds of quantity, the common units of each with their factors to SI, and the spellings that stand for them."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

INCH = 0.0254
POUND = 0.45359237
GRAVITY = 9.80665
POUND_FORCE = POUND * GRAVITY


class Dimension(Enum):
    """What kind of quantity is expected: its name, its SI unit, an example of how to write it."""

    NUMBER = ("number without a unit", "", "0.15")
    LENGTH = ("length", "m", "5 mm")
    AREA = ("area", "m^2", "14.2 mm^2")
    FORCE = ("force", "N", "150 N")
    TORQUE = ("torque", "N m", "0.7 N m")
    ENERGY = ("energy", "J", "5 J")
    STRESS = ("stress or pressure", "Pa", "240 MPa")
    MASS = ("mass", "kg", "14.5 kg")
    TIME = ("time", "s", "20 s")
    ANGLE = ("angle", "rad", "45 deg")
    TEMPERATURE = ("temperature", "K", "20 degC")
    KINEMATIC_VISCOSITY = ("kinematic viscosity", "m^2/s", "22 mm^2/s")
    DENSITY = ("density", "kg/m^3", "870 kg/m^3")
    PER_LENGTH = ("count per length", "1/m", "12 per in")
    POWER = ("power", "W", "15 W")
    VOLTAGE = ("voltage", "V", "230 V")
    CURRENT = ("current", "A", "0.4 A")
    RESISTANCE = ("resistance", "ohm", "2 Mohm")
    FREQUENCY = ("frequency", "Hz", "50 Hz")

    def __init__(self, title: str, si: str, example: str) -> None:
        self.title = title
        self.si = si
        self.example = example


@dataclass(frozen=True)
class Unit:
    """A unit of the table: SI = value * factor + offset."""

    dimension: Dimension
    factor: float
    offset: float = 0.0


def _units(dimension: Dimension, **factors: float) -> dict[str, Unit]:
    return {name: Unit(dimension, factor) for name, factor in factors.items()}


COMMON: dict[str, Unit] = {
    "": Unit(Dimension.NUMBER, 1.0),
    "%": Unit(Dimension.NUMBER, 0.01),
    **_units(Dimension.LENGTH, m=1.0, mm=1e-3, cm=1e-2, um=1e-6, inch=INCH, ft=12 * INCH, thou=INCH / 1000),
    "in": Unit(Dimension.LENGTH, INCH),
    "mm^2": Unit(Dimension.AREA, 1e-6),
    "in^2": Unit(Dimension.AREA, INCH**2),
    **_units(Dimension.FORCE, N=1.0, kN=1e3, lbf=POUND_FORCE, ozf=POUND_FORCE / 16, kgf=GRAVITY, gf=GRAVITY / 1000),
    "N m": Unit(Dimension.TORQUE, 1.0),
    "N cm": Unit(Dimension.TORQUE, 1e-2),
    "cN m": Unit(Dimension.TORQUE, 1e-2),
    "N mm": Unit(Dimension.TORQUE, 1e-3),
    "mN m": Unit(Dimension.TORQUE, 1e-3),
    "in lbf": Unit(Dimension.TORQUE, POUND_FORCE * INCH),
    "ft lbf": Unit(Dimension.TORQUE, POUND_FORCE * 12 * INCH),
    "in ozf": Unit(Dimension.TORQUE, POUND_FORCE / 16 * INCH),
    "kgf cm": Unit(Dimension.TORQUE, GRAVITY / 100),
    "J": Unit(Dimension.ENERGY, 1.0),
    **_units(Dimension.STRESS, Pa=1.0, kPa=1e3, MPa=1e6, GPa=1e9, bar=1e5, psi=POUND_FORCE / INCH**2),
    "N/mm^2": Unit(Dimension.STRESS, 1e6),
    "ksi": Unit(Dimension.STRESS, 1000 * POUND_FORCE / INCH**2),
    **_units(Dimension.MASS, kg=1.0, g=1e-3, mg=1e-6, lb=POUND, oz=POUND / 16),
    **_units(Dimension.TIME, s=1.0, min=60.0, h=3600.0),
    **_units(Dimension.ANGLE, rad=1.0, deg=0.017453292519943295),
    "K": Unit(Dimension.TEMPERATURE, 1.0),
    "degC": Unit(Dimension.TEMPERATURE, 1.0, 273.15),
    "degF": Unit(Dimension.TEMPERATURE, 5 / 9, 273.15 - 32 * 5 / 9),
    "mm^2/s": Unit(Dimension.KINEMATIC_VISCOSITY, 1e-6),
    "m^2/s": Unit(Dimension.KINEMATIC_VISCOSITY, 1.0),
    "cSt": Unit(Dimension.KINEMATIC_VISCOSITY, 1e-6),
    "kg/m^3": Unit(Dimension.DENSITY, 1.0),
    "g/cm^3": Unit(Dimension.DENSITY, 1000.0),
    "per in": Unit(Dimension.PER_LENGTH, 1 / INCH),
    "per cm": Unit(Dimension.PER_LENGTH, 100.0),
    "per mm": Unit(Dimension.PER_LENGTH, 1000.0),
    **_units(Dimension.POWER, W=1.0, kW=1e3),
    **_units(Dimension.VOLTAGE, V=1.0, kV=1e3, mV=1e-3),
    **_units(Dimension.CURRENT, A=1.0, mA=1e-3),
    **_units(Dimension.RESISTANCE, ohm=1.0, mohm=1e-3, kohm=1e3, Mohm=1e6),
    **_units(Dimension.FREQUENCY, Hz=1.0),
}

SPELLINGS = {
    '"': "in", "inches": "in", "millimetre": "mm", "millimetres": "mm", "feet": "ft", "foot": "ft",
    "Nm": "N m", "Ncm": "N cm", "Nmm": "N mm", "cNm": "cN m", "mNm": "mN m", "m N": "N m", "cm kgf": "kgf cm",
    "lbf in": "in lbf", "lbf ft": "ft lbf", "ozf in": "in ozf", "°": "deg", "°C": "degC", "°F": "degF",
    "Ω": "ohm", "mΩ": "mohm", "kΩ": "kohm", "MΩ": "Mohm", "tpi": "per in", "TPI": "per in", "1/in": "per in",
    "/in": "per in", "1/cm": "per cm", "1/mm": "per mm", "lbs": "lb", "hour": "h", "hours": "h",
    "minute": "min", "minutes": "min",
}  # fmt: skip

PLAIN = str.maketrans({"·": " ", "⋅": " ", "*": " ", "-": " ", "²": "^2", "³": "^3", "µ": "u", "μ": "u", "Ω": "Ω"})

# "in lb" is mass times length: it is refused with the right way of writing it, never guessed.
POUND_TORQUES = {
    "in lb": "in lbf", "lb in": "in lbf", "inlb": "in lbf", "in lbs": "in lbf", "lbs in": "in lbf", "ft lb": "ft lbf",
    "lb ft": "ft lbf", "ftlb": "ft lbf", "ft lbs": "ft lbf", "kg cm": "kgf cm", "cm kg": "kgf cm",
}  # fmt: skip

METRIC = {
    Dimension.LENGTH: "mm", Dimension.AREA: "mm^2", Dimension.STRESS: "MPa", Dimension.ANGLE: "deg",
    Dimension.TEMPERATURE: "degC", Dimension.KINEMATIC_VISCOSITY: "mm^2/s", Dimension.PER_LENGTH: "per cm",
}  # fmt: skip
INCH_UNITS = {
    Dimension.LENGTH: "in", Dimension.AREA: "in^2", Dimension.FORCE: "lbf", Dimension.TORQUE: "in lbf",
    Dimension.STRESS: "psi", Dimension.MASS: "lb", Dimension.TEMPERATURE: "degF", Dimension.PER_LENGTH: "per in",
}  # fmt: skip
