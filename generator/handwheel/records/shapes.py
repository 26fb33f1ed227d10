"""Shapes: what may stand under a key, as data.

One description of each key serves the reader, the schema for editors and `explain`,
so that the three cannot disagree. Shapes know no YAML.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True)
class Shape:
    """Base of all shapes."""


@dataclass(frozen=True)
class Words(Shape):
    """A short plain text: no marks, one line."""


@dataclass(frozen=True)
class Prose(Shape):
    """Running text with the few marks that prose allows."""


@dataclass(frozen=True)
class OneWordOf(Shape):
    """One of a few fixed words."""

    words: tuple[str, ...]


@dataclass(frozen=True)
class YesNo(Shape):
    """`true` or `false`."""


@dataclass(frozen=True)
class Whole(Shape):
    """A whole number within bounds."""

    least: int = 0
    most: int = 10**9


@dataclass(frozen=True)
class Decimal(Shape):
    """A number; the text it was written with is kept."""


@dataclass(frozen=True)
class Quantity(Shape):
    """A number with a unit of one dimension, or one of the words that may stand instead."""

    dimension: str
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Day(Shape):
    """A date written year-month-day."""


@dataclass(frozen=True)
class Clock(Shape):
    """A place in a recording: minutes:seconds or hours:minutes:seconds."""


@dataclass(frozen=True)
class ThreePoint(Shape):
    """Minutes as one number or as [least, likely, most]."""


@dataclass(frozen=True)
class Ref(Shape):
    """The id of a record of one of the kinds; `words` may stand instead."""

    kinds: tuple[str, ...]
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class StepRef(Shape):
    """A step: `procedure/step`, or `step` alone within its own procedure."""


@dataclass(frozen=True)
class Cite(Shape):
    """A source, alone or with the place in it: `{source: id, at: table 3}`."""


@dataclass(frozen=True)
class When(Shape):
    """A condition on the machine and on what was found."""


@dataclass(frozen=True)
class States(Shape):
    """Question -> one of its states, or a list of them."""

    of: str
    """What is asked: `features`, `findings`, `positions`, `questions` (all but positions), or `words` (free)."""


@dataclass(frozen=True)
class Many(Shape):
    """A list; one item may stand without brackets."""

    item: Shape


@dataclass(frozen=True)
class Map(Shape):
    """A map from a key to a value; keys are ids of `keys` where that is given, else free ids."""

    item: Shape
    keys: Ref | None = None


@dataclass(frozen=True)
class Part(Shape):
    """A nested record of the class, or of its `short` key when a plain value stands there."""

    cls: type[Any]


@dataclass(frozen=True)
class Varying(Shape):
    """A value, or alternatives of which exactly one holds for each machine."""

    item: Shape


@dataclass(frozen=True)
class Nodes(Shape):
    """A list of steps and of the constructs that hold steps."""


@dataclass(frozen=True)
class Key:
    """What is known of a key: its shape, what it is for, and an example as it stands in YAML."""

    shape: Shape
    doc: str
    example: str
    required: bool = False
    yaml: str = field(default="", compare=False)
    """The key as written, where it is a word that Python reserves (`in`, `with`)."""
