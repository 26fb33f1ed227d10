"""The edge to units: text with a unit in, SI floats out; SI floats in, text out.

Inside, every length is in metres, every torque in newton metres. Units are Pint's
(one registry, built at the first unit that needs it). Loading Pint and its registry was
measured at 0.75 to 1.0 s, too long for a command at the bench, so the units in `COMMON` are
converted by a small table; the tests hold each of its factors against Pint.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from handwheel.engineering.ranges import Range, Span, finite

if TYPE_CHECKING:
    import pint

INCH = 0.0254
POUND = 0.45359237
GRAVITY = 9.80665
POUND_FORCE = POUND * GRAVITY


class UnitError(ValueError):
    """A text that is no quantity of the expected kind; the message says what would be right."""


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
class _Unit:
    """A unit of the table: SI = value * factor + offset."""

    dimension: Dimension
    factor: float
    offset: float = 0.0


def _units(dimension: Dimension, **factors: float) -> dict[str, _Unit]:
    return {name: _Unit(dimension, factor) for name, factor in factors.items()}


COMMON: dict[str, _Unit] = {
    "": _Unit(Dimension.NUMBER, 1.0),
    "%": _Unit(Dimension.NUMBER, 0.01),
    **_units(Dimension.LENGTH, m=1.0, mm=1e-3, cm=1e-2, um=1e-6, inch=INCH, ft=12 * INCH, thou=INCH / 1000),
    "in": _Unit(Dimension.LENGTH, INCH),
    "mm^2": _Unit(Dimension.AREA, 1e-6),
    "in^2": _Unit(Dimension.AREA, INCH**2),
    **_units(Dimension.FORCE, N=1.0, kN=1e3, lbf=POUND_FORCE, ozf=POUND_FORCE / 16, kgf=GRAVITY, gf=GRAVITY / 1000),
    "N m": _Unit(Dimension.TORQUE, 1.0),
    "N cm": _Unit(Dimension.TORQUE, 1e-2),
    "cN m": _Unit(Dimension.TORQUE, 1e-2),
    "N mm": _Unit(Dimension.TORQUE, 1e-3),
    "mN m": _Unit(Dimension.TORQUE, 1e-3),
    "in lbf": _Unit(Dimension.TORQUE, POUND_FORCE * INCH),
    "ft lbf": _Unit(Dimension.TORQUE, POUND_FORCE * 12 * INCH),
    "in ozf": _Unit(Dimension.TORQUE, POUND_FORCE / 16 * INCH),
    "kgf cm": _Unit(Dimension.TORQUE, GRAVITY / 100),
    "J": _Unit(Dimension.ENERGY, 1.0),
    **_units(Dimension.STRESS, Pa=1.0, kPa=1e3, MPa=1e6, GPa=1e9, bar=1e5, psi=POUND_FORCE / INCH**2),
    "N/mm^2": _Unit(Dimension.STRESS, 1e6),
    "ksi": _Unit(Dimension.STRESS, 1000 * POUND_FORCE / INCH**2),
    **_units(Dimension.MASS, kg=1.0, g=1e-3, mg=1e-6, lb=POUND, oz=POUND / 16),
    **_units(Dimension.TIME, s=1.0, min=60.0, h=3600.0),
    **_units(Dimension.ANGLE, rad=1.0, deg=0.017453292519943295),
    "K": _Unit(Dimension.TEMPERATURE, 1.0),
    "degC": _Unit(Dimension.TEMPERATURE, 1.0, 273.15),
    "degF": _Unit(Dimension.TEMPERATURE, 5 / 9, 273.15 - 32 * 5 / 9),
    "mm^2/s": _Unit(Dimension.KINEMATIC_VISCOSITY, 1e-6),
    "m^2/s": _Unit(Dimension.KINEMATIC_VISCOSITY, 1.0),
    "cSt": _Unit(Dimension.KINEMATIC_VISCOSITY, 1e-6),
    "kg/m^3": _Unit(Dimension.DENSITY, 1.0),
    "g/cm^3": _Unit(Dimension.DENSITY, 1000.0),
    "per in": _Unit(Dimension.PER_LENGTH, 1 / INCH),
    "per cm": _Unit(Dimension.PER_LENGTH, 100.0),
    "per mm": _Unit(Dimension.PER_LENGTH, 1000.0),
    **_units(Dimension.POWER, W=1.0, kW=1e3),
    **_units(Dimension.VOLTAGE, V=1.0, kV=1e3, mV=1e-3),
    **_units(Dimension.CURRENT, A=1.0, mA=1e-3),
    **_units(Dimension.RESISTANCE, ohm=1.0, mohm=1e-3, kohm=1e3, Mohm=1e6),
    **_units(Dimension.FREQUENCY, Hz=1.0),
}

_SPELLINGS = {
    '"': "in", "inches": "in", "millimetre": "mm", "millimetres": "mm", "feet": "ft", "foot": "ft",
    "Nm": "N m", "Ncm": "N cm", "Nmm": "N mm", "cNm": "cN m", "mNm": "mN m", "m N": "N m", "cm kgf": "kgf cm",
    "lbf in": "in lbf", "lbf ft": "ft lbf", "ozf in": "in ozf", "°": "deg", "°C": "degC", "°F": "degF",
    "Ω": "ohm", "mΩ": "mohm", "kΩ": "kohm", "MΩ": "Mohm", "tpi": "per in", "TPI": "per in", "1/in": "per in",
    "/in": "per in", "1/cm": "per cm", "1/mm": "per mm", "lbs": "lb", "hour": "h", "hours": "h",
    "minute": "min", "minutes": "min",
}  # fmt: skip

_PLAIN = str.maketrans({"·": " ", "⋅": " ", "*": " ", "-": " ", "²": "^2", "³": "^3", "µ": "u", "μ": "u", "Ω": "Ω"})

# "in lb" is mass times length: it is refused with the right way of writing it, never guessed.
_POUND_TORQUES = {
    "in lb": "in lbf", "lb in": "in lbf", "inlb": "in lbf", "in lbs": "in lbf", "lbs in": "in lbf", "ft lb": "ft lbf",
    "lb ft": "ft lbf", "ftlb": "ft lbf", "ft lbs": "ft lbf", "kg cm": "kgf cm", "cm kg": "kgf cm",
}  # fmt: skip

_NUMBER = re.compile(
    r"\s*(?P<sign>[+-]?)(?:(?P<whole>\d{1,6})\s+)?"
    r"(?:(?P<num>\d{1,6})\s*/\s*(?P<den>\d{1,6})|(?P<dec>(?:\d{1,15}(?:\.\d{0,15})?|\.\d{1,15})(?:[eE][+-]?\d{1,3})?))"
    r"(?P<rest>.*)\Z",
    re.DOTALL,
)
_UNIT_TEXT = re.compile(r"[A-Za-zµμΩ°%\"][A-Za-z0-9µμΩ°_ /^]{0,39}|1?/[A-Za-z]{1,10}")
_POWER = re.compile(r"\^(?![1-4](?!\d))")


@cache
def registry() -> pint.UnitRegistry[Any]:
    """Pint's registry, built once, at the first need of a unit outside the table."""
    import pint  # noqa: PLC0415 - takes most of a second, see the module's docstring

    return pint.UnitRegistry(cache_folder=None)


def parse(text: str, dimension: Dimension) -> float:
    """A quantity written with its unit, in SI.

    Args:
        text: number (decimal point, fraction or whole and fraction), space, unit.
        dimension: the kind of quantity that is expected.

    Raises:
        UnitError: no number, no unit, an unknown unit or a unit of another kind.

    >>> parse("0.7 N m", Dimension.TORQUE), parse("5 mm", Dimension.LENGTH), parse("1 1/4 in", Dimension.LENGTH)
    (0.7, 0.005, 0.03175)
    >>> parse("5 N", Dimension.TORQUE)
    Traceback (most recent call last):
        ...
    handwheel.engineering.units.UnitError: '5 N' is a force, not a torque; a torque is a force times its lever, such as '0.7 N m'
    """  # noqa: E501
    number, unit = split(text, dimension)
    return _to_si(number, unit, dimension, text)


def parse_span(text: str, dimension: Dimension) -> Span:
    """'0.5 to 0.8 N m', '0.5..0.8 N m' or '5 mm ± 0.1 mm' as a span in SI; one value gives a span without width.

    The first number may leave out the unit when the second has one, an error may leave it out after the value.

    >>> parse_span("30 to 40 in lbf", Dimension.TORQUE).through(lambda t: round(t, 3))
    Span(low=3.39, high=4.519)
    """
    parts = re.split(r"\s*(?:\.\.\.?|…|–|\bto\b)\s*", text)
    if len(parts) == 2 and all(parts):
        return _ends(parts[0], parts[1], dimension, text)
    parts = re.split(r"\s*(?:±|\+/-)\s*", text)
    if len(parts) == 2 and all(parts):
        return _around(parts[0], parts[1], dimension)
    return Span.exactly(parse(text, dimension))


def parse_pitch(text: str) -> float:
    """A pitch as length or as threads to the inch, in metres.

    >>> round(parse_pitch("40 tpi"), 9), parse_pitch("0.8 mm")
    (0.000635, 0.0008)
    """
    _, unit = split(text, Dimension.LENGTH)
    if COMMON.get(unit, COMMON[""]).dimension is not Dimension.PER_LENGTH:
        return parse(text, Dimension.LENGTH)
    count = parse(text, Dimension.PER_LENGTH)
    Range(0.0, float("inf"), "per in", si=1 / INCH).check(count, "threads per length")
    if count == 0:
        raise UnitError(f"{text!r}: a pitch of no threads to the inch is no thread")
    return 1 / count


def split(text: str, dimension: Dimension) -> tuple[float, str]:
    """Number and tidied unit of a quantity's text; the unit is not yet looked up."""
    tidy = text.replace("−", "-").replace("\u00a0", " ").replace("\u202f", " ").strip()
    if re.match(r"[+-]?\d+,\d", tidy):
        raise UnitError(f"{text!r}: write the decimal with a point, such as {dimension.example!r}")
    found = _NUMBER.match(tidy)
    if found is None:
        raise UnitError(f"{text!r} does not start with a number; write it as {dimension.example!r}")
    return _number(found, text), _tidy_unit(found["rest"])


def _number(found: re.Match[str], text: str) -> float:
    whole = int(found["whole"] or 0)
    if found["num"]:
        if int(found["den"]) == 0:
            raise UnitError(f"{text!r} divides by zero")
        value = float(whole + Fraction(int(found["num"]), int(found["den"])))
    elif found["whole"]:
        raise UnitError(f"{text!r} has two numbers; write one, or a whole and a fraction such as '1 3/16 in'")
    else:
        value = float(found["dec"])
    if not math.isfinite(value):
        raise UnitError(f"{text!r} is larger than any quantity here")
    return -value if found["sign"] == "-" else value


def _tidy_unit(unit: str) -> str:
    plain = re.sub(r"\s*([/^])\s*", r"\1", unit.translate(_PLAIN))
    unit = re.sub(r"\s+", " ", plain).strip()
    return _SPELLINGS.get(unit, unit)


def _to_si(number: float, unit: str, dimension: Dimension, text: str) -> float:
    known = COMMON.get(unit)
    if known is not None and known.dimension is dimension:
        return finite(number * known.factor + known.offset, repr(text))
    if known is not None:
        raise UnitError(_other_kind(text, unit, known.dimension, dimension))
    if unit in _POUND_TORQUES:
        raise UnitError(_pound_torque(text, unit, dimension))
    return _by_pint(number, unit, dimension, text)


def _other_kind(text: str, unit: str, found: Dimension, expected: Dimension) -> str:
    if not unit:
        return f"{text!r} has no unit; {_a(expected)} is written with one, such as {expected.example!r}"
    told = f"{text!r} is {_a(found)}, not {_a(expected)}"
    if expected is Dimension.TORQUE and found in (Dimension.FORCE, Dimension.MASS):
        return f"{told}; a torque is a force times its lever, such as {expected.example!r}"
    if expected is Dimension.FORCE and found is Dimension.MASS:
        return f"{told}; write '{unit}f' if the force of that mass is meant"
    return f"{told}; write it as {expected.example!r}"


def _pound_torque(text: str, unit: str, dimension: Dimension) -> str:
    told = f"{text!r} is a mass times a length; a torque is written {_POUND_TORQUES[unit]!r}"
    return told if dimension is Dimension.TORQUE else f"{told}, and here {_a(dimension)} is expected"


def _by_pint(number: float, unit: str, dimension: Dimension, text: str) -> float:
    if not _UNIT_TEXT.fullmatch(unit) or _POWER.search(unit) or unit.count("^") > 3:
        raise UnitError(_unknown(text, unit, dimension))
    import pint  # noqa: PLC0415 - as in registry()

    try:
        value = registry().Quantity(number, unit).to(dimension.si or "dimensionless").magnitude
    except pint.DimensionalityError as error:
        raise UnitError(f"{text!r} is no {dimension.title}; write it as {dimension.example!r}") from error
    except Exception as error:  # Pint raises many kinds for a text that is no unit
        raise UnitError(_unknown(text, unit, dimension)) from error
    return finite(float(value), repr(text))


def _unknown(text: str, unit: str, dimension: Dimension) -> str:
    names = [name for name, entry in COMMON.items() if name and entry.dimension is dimension]
    near = sorted(names, key=lambda name: _likeness(unit, name), reverse=True)[:1]
    close = near and _likeness(unit, near[0])[0] >= 0.5
    hint = f"did you mean {near[0]!r}?" if close else f"{_a(dimension)} is written as {dimension.example!r}"
    return f"{text!r}: unknown unit {unit!r}; {hint}"


def _likeness(unit: str, name: str) -> tuple[float, bool]:
    """How alike two spellings are; between equals the one of the same length."""
    alike = max(difflib.SequenceMatcher(None, form, name).ratio() for form in (unit, unit.lower()))
    same_length = len(unit) == len(name)
    return alike + 0.2 * same_length, same_length


def _a(dimension: Dimension) -> str:
    return f"{'an' if dimension.title[0] in 'aeiou' else 'a'} {dimension.title}"


def _ends(low: str, high: str, dimension: Dimension, text: str) -> Span:
    first, unit_low = split(low, dimension)
    second, unit = split(high, dimension)
    ends = _to_si(first, unit_low or unit, dimension, text), _to_si(second, unit, dimension, text)
    if ends[0] > ends[1]:
        raise UnitError(f"{text!r} runs downwards; write the lower value first")
    return Span(*ends)


def _around(value: str, error: str, dimension: Dimension) -> Span:
    middle, unit = split(value, dimension)
    width, unit_of_error = split(error, dimension)
    if width < 0:
        raise UnitError(f"an error of {error!r} cannot be negative")
    at = _to_si(middle, unit, dimension, value)
    off = _to_si(width, unit_of_error or unit, dimension, error) - _to_si(0.0, unit_of_error or unit, dimension, error)
    return Span.around(at, off)


_METRIC = {
    Dimension.LENGTH: "mm", Dimension.AREA: "mm^2", Dimension.STRESS: "MPa", Dimension.ANGLE: "deg",
    Dimension.TEMPERATURE: "degC", Dimension.KINEMATIC_VISCOSITY: "mm^2/s", Dimension.PER_LENGTH: "per cm",
}  # fmt: skip
_INCH = {
    Dimension.LENGTH: "in", Dimension.AREA: "in^2", Dimension.FORCE: "lbf", Dimension.TORQUE: "in lbf",
    Dimension.STRESS: "psi", Dimension.MASS: "lb", Dimension.TEMPERATURE: "degF", Dimension.PER_LENGTH: "per in",
}  # fmt: skip


def format_metric(value: float, dimension: Dimension, digits: int = 3) -> str:
    """A value in the metric unit that the bench uses for it, to so many significant digits.

    >>> format_metric(0.0043656, Dimension.LENGTH), format_metric(0.7, Dimension.TORQUE)
    ('4.37 mm', '0.7 N m')
    """
    return _format(value, _METRIC.get(dimension, dimension.si), digits)


def format_inch(value: float, dimension: Dimension, digits: int = 3) -> str:
    """The same in inch units; metric where the inch system has no other.

    >>> format_inch(0.0043656, Dimension.LENGTH, 4), format_inch(0.7, Dimension.TORQUE, 2)
    ('0.1719 in', '6.2 in lbf')
    """
    return _format(value, _INCH.get(dimension, _METRIC.get(dimension, dimension.si)), digits)


def format_both(value: float, dimension: Dimension, digits: int = 3) -> str:
    """Metric with inch in brackets, where they differ.

    >>> format_both(0.7, Dimension.TORQUE), format_both(15, Dimension.POWER)
    ('0.7 N m (6.2 in lbf)', '15 W')
    """
    metric, inch = format_metric(value, dimension, digits), format_inch(value, dimension, digits)
    return metric if metric == inch else f"{metric} ({inch})"


def format_span(span: Span, dimension: Dimension, digits: int = 3, *, inch: bool = False) -> str:
    """A span with its unit once.

    >>> format_span(Span(0.5, 0.8), Dimension.TORQUE), format_span(Span(0.5, 0.8), Dimension.TORQUE, 2, inch=True)
    ('0.5 to 0.8 N m', '4.4 to 7.1 in lbf')
    """
    form = format_inch if inch else format_metric
    low, high = form(span.low, dimension, digits), form(span.high, dimension, digits)
    return low if low == high else f"{low.partition(' ')[0]} to {high}"


def significant(value: float, digits: int = 3) -> str:
    """A number to so many significant digits, never with an exponent; trailing zeros go.

    >>> significant(1158.2), significant(0.000123456), significant(2.50), significant(0.0)
    ('1160', '0.000123', '2.5', '0')
    """
    if finite(value, "value") == 0:
        return "0"
    rounded = float(f"{value:.{digits - 1}e}")
    return f"{rounded:.15f}".rstrip("0").rstrip(".") if abs(rounded) < 1 else f"{rounded:.12g}"


def _format(value: float, unit: str, digits: int) -> str:
    entry = COMMON[unit] if unit in COMMON else _Unit(Dimension.NUMBER, 1.0)
    shown = significant((value - entry.offset) / entry.factor, digits)
    return f"{shown} {unit}".rstrip()
