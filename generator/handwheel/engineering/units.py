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
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from handwheel.engineering.ranges import Range, Span, finite
from handwheel.engineering.unit_table import (
    COMMON,
    GRAVITY,
    INCH,
    INCH_UNITS,
    METRIC,
    PLAIN,
    POUND,
    POUND_FORCE,
    POUND_TORQUES,
    SPELLINGS,
    Dimension,
    Unit,
)

if TYPE_CHECKING:
    import pint

__all__ = [
    "COMMON",
    "GRAVITY",
    "INCH",
    "POUND",
    "POUND_FORCE",
    "Dimension",
    "UnitError",
    "format_both",
    "format_inch",
    "format_metric",
    "format_span",
    "parse",
    "parse_pitch",
    "parse_span",
    "registry",
    "significant",
    "split",
]


class UnitError(ValueError):
    """A text that is no quantity of the expected kind; the message says what would be right."""


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
    plain = re.sub(r"\s*([/^])\s*", r"\1", unit.translate(PLAIN))
    unit = re.sub(r"\s+", " ", plain).strip()
    return SPELLINGS.get(unit, unit)


def _to_si(number: float, unit: str, dimension: Dimension, text: str) -> float:
    known = COMMON.get(unit)
    if known is not None and known.dimension is dimension:
        return finite(number * known.factor + known.offset, repr(text))
    if known is not None:
        raise UnitError(_other_kind(text, unit, known.dimension, dimension))
    if unit in POUND_TORQUES:
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
    told = f"{text!r} is a mass times a length; a torque is written {POUND_TORQUES[unit]!r}"
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


def format_metric(value: float, dimension: Dimension, digits: int = 3) -> str:
    """A value in the metric unit that the bench uses for it, to so many significant digits.

    >>> format_metric(0.0043656, Dimension.LENGTH), format_metric(0.7, Dimension.TORQUE)
    ('4.37 mm', '0.7 N m')
    """
    return _format(value, METRIC.get(dimension, dimension.si), digits)


def format_inch(value: float, dimension: Dimension, digits: int = 3) -> str:
    """The same in inch units; metric where the inch system has no other.

    >>> format_inch(0.0043656, Dimension.LENGTH, 4), format_inch(0.7, Dimension.TORQUE, 2)
    ('0.1719 in', '6.2 in lbf')
    """
    return _format(value, INCH_UNITS.get(dimension, METRIC.get(dimension, dimension.si)), digits)


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
    entry = COMMON[unit] if unit in COMMON else Unit(Dimension.NUMBER, 1.0)
    shown = significant((value - entry.offset) / entry.factor, digits)
    return f"{shown} {unit}".rstrip()
