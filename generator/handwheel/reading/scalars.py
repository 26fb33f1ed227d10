"""Single values as written -> typed values, one reader a shape."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from typing import Any

from handwheel.engineering.units import Dimension, UnitError, parse
from handwheel.reading.context import Context
from handwheel.reading.nearest import nearest
from handwheel.reading.tree import Node, Scalar, Sequence
from handwheel.records import shapes as s
from handwheel.records import values as v

BAD: Any = object()
"""What a reader returns when it has left a message instead of a value."""

_DECIMAL = re.compile(r"[+-]?(\d{1,15}(\.\d{1,15})?|\.\d{1,15})")
_CLOCK = re.compile(r"(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)")
DIMENSIONS = {
    "torque": Dimension.TORQUE,
    "length": Dimension.LENGTH,
    "mass": Dimension.MASS,
    "time": Dimension.TIME,
    "temperature": Dimension.TEMPERATURE,
    "force": Dimension.FORCE,
    "power": Dimension.POWER,
    "voltage": Dimension.VOLTAGE,
    "current": Dimension.CURRENT,
}


def wrong(node: Node, context: Context, what: str, right: str) -> Any:
    """Leave a message on a value of the wrong type."""
    context.say("wrong-type", node.place, what, right)
    return BAD


def one_scalar(node: Node, context: Context, right: str) -> Scalar | None:
    """The node as a scalar that says something."""
    if isinstance(node, Scalar) and not node.is_null:
        return node
    what = "nothing stands here" if isinstance(node, Scalar) else "a single value is wanted here"
    context.say("wrong-type", node.place, what, right)
    return None


def read_words(node: Node, context: Context) -> Any:
    """A short plain text on one line."""
    scalar = one_scalar(node, context, "a short text")
    if scalar is None or _is_cut(scalar, context):
        return BAD
    if "\n" in scalar.text.strip():
        return wrong(node, context, "this text has more than one line", "one line")
    return scalar.text.strip()


def read_prose(node: Node, context: Context) -> Any:
    """Running text; lines are joined."""
    scalar = one_scalar(node, context, "a text")
    if scalar is None or _is_cut(scalar, context):
        return BAD
    return v.Text(" ".join(scalar.text.split()), scalar.place)


def _is_cut(scalar: Scalar, context: Context) -> bool:
    if not scalar.comment:
        return False
    what = f"the text ends here, and '{scalar.comment[:30]}' is taken as a comment"
    context.say("text-cut", scalar.place, what, "put the text in quotes, or the comment on a line of its own")
    return True


def read_one_word_of(shape: s.OneWordOf, node: Node, context: Context) -> Any:
    """One of a few fixed words."""
    right = "one of: " + ", ".join(shape.words)
    scalar = one_scalar(node, context, right)
    if scalar is None:
        return BAD
    if scalar.text in shape.words:
        return scalar.text
    near = nearest(scalar.text, shape.words)
    return wrong(
        node, context, f"'{scalar.text}' is not allowed here", f"did you mean '{near}'? {right}" if near else right
    )


def read_yes_no(node: Node, context: Context) -> Any:
    """`true` or `false`, and nothing else that YAML 1.1 would take for it."""
    scalar = one_scalar(node, context, "true or false")
    if scalar is None:
        return BAD
    if scalar.text in ("true", "false"):
        return scalar.text == "true"
    return wrong(node, context, f"'{scalar.text}' is neither true nor false", "true or false")


def read_whole(shape: s.Whole, node: Node, context: Context) -> Any:
    """A whole number within bounds."""
    right = f"a whole number from {shape.least} to {shape.most}" if shape.most < 10**9 else "a whole number"
    scalar = one_scalar(node, context, right)
    if scalar is None:
        return BAD
    if not re.fullmatch(r"[0-9]{1,10}", scalar.text) or not shape.least <= int(scalar.text) <= shape.most:
        return wrong(node, context, f"'{scalar.text}' does not fit here", right)
    return int(scalar.text)


def read_decimal(node: Node, context: Context) -> Any:
    """A number; its text is kept."""
    scalar = one_scalar(node, context, "a number such as 0.60")
    if scalar is None:
        return BAD
    if not _DECIMAL.fullmatch(scalar.text):
        right = "a decimal point: " + scalar.text.replace(",", ".") if "," in scalar.text else "a number such as 0.60"
        return wrong(node, context, f"'{scalar.text}' is no number", right)
    return v.Number(scalar.text, float(scalar.text))


def read_quantity(shape: s.Quantity, node: Node, context: Context) -> Any:
    """A number with its unit, in SI; or one of the words that may stand instead."""
    dimension = DIMENSIONS[shape.dimension]
    instead = f", or {' / '.join(shape.words)}" if shape.words else ""
    right = f"a {shape.dimension} such as '{dimension.example}'{instead}"
    scalar = one_scalar(node, context, right)
    if scalar is None:
        return BAD
    if scalar.text in shape.words:
        return v.Amount(scalar.text, None, shape.dimension, scalar.place)
    try:
        value = parse(scalar.text, dimension)
    except UnitError as error:
        context.say("wrong-unit", scalar.place, str(error), right)
        return BAD
    if value <= 0 and shape.dimension == "temperature":
        return wrong(node, context, f"'{scalar.text}' lies below absolute zero, -273.15 degC", right)
    if value <= 0:
        return wrong(node, context, f"'{scalar.text}' is not more than nothing", right)
    return v.Amount(scalar.text, value, shape.dimension, scalar.place)


def read_day(node: Node, context: Context) -> Any:
    """A date, year-month-day."""
    scalar = one_scalar(node, context, "a date such as 2026-03-11")
    if scalar is None:
        return BAD
    try:
        if not re.fullmatch(r"\d{4}-\d\d-\d\d", scalar.text):
            raise ValueError
        datetime.date.fromisoformat(scalar.text)
    except ValueError:
        return wrong(node, context, f"'{scalar.text}' is no date", "year-month-day, such as 2026-03-11")
    return scalar.text


def read_clock(node: Node, context: Context) -> Any:
    """A place in a recording."""
    scalar = one_scalar(node, context, 'a time such as "12:10"')
    if scalar is None:
        return BAD
    if not _CLOCK.fullmatch(scalar.text):
        return wrong(node, context, f"'{scalar.text}' is no time", 'minutes and seconds "12:10", or "1:02:10"')
    return scalar.text


def seconds(clock: str) -> int:
    """Seconds from the start of a recording."""
    found = _CLOCK.fullmatch(clock)
    if found is None:
        raise ValueError(f"{clock!r} is no time such as 12:10")
    return int(found[1] or 0) * 3600 + int(found[2]) * 60 + int(found[3])


def read_minutes(node: Node, context: Context) -> Any:
    """Minutes: one number, or least, likely and most."""
    right = "minutes as one number, or [least, likely, most]"
    items = node.items if isinstance(node, Sequence) else (node,)
    numbers = [read_decimal(item, context) for item in items]
    if any(each is BAD for each in numbers):
        return BAD
    values = [each.value for each in numbers]
    if len(values) == 1:
        values *= 3
    if len(values) != 3 or values != sorted(values) or values[0] < 0 or values[2] <= 0:
        return wrong(node, context, "these are no minutes", right + ", rising")
    return v.Minutes(*values)


def read_ref(shape: s.Ref, node: Node, context: Context) -> Any:
    """The id of a record."""
    scalar = one_scalar(node, context, "an id")
    if scalar is None:
        return BAD
    if scalar.text in shape.words or context.check_ref(shape.kinds, scalar.text, scalar.place):
        return scalar.text
    return BAD


def read_step_ref(node: Node, context: Context) -> Any:
    """A step, judged when all steps are known."""
    scalar = one_scalar(node, context, "a step as procedure/step")
    if scalar is None:
        return BAD
    context.step_refs.append((context.procedure, scalar.text, scalar.place))
    return scalar.text


PLAIN: dict[type[s.Shape], Callable[[Any, Node, Context], Any]] = {
    s.Words: lambda _, node, context: read_words(node, context),
    s.Prose: lambda _, node, context: read_prose(node, context),
    s.YesNo: lambda _, node, context: read_yes_no(node, context),
    s.Decimal: lambda _, node, context: read_decimal(node, context),
    s.Day: lambda _, node, context: read_day(node, context),
    s.Clock: lambda _, node, context: read_clock(node, context),
    s.ThreePoint: lambda _, node, context: read_minutes(node, context),
    s.StepRef: lambda _, node, context: read_step_ref(node, context),
    s.OneWordOf: read_one_word_of,
    s.Whole: read_whole,
    s.Quantity: read_quantity,
    s.Ref: read_ref,
}
