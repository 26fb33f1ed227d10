"""What was seen on one machine: forms, markings, the serial, measurements; each may be doubtful.

Nothing here knows a family. `tables.check_evidence` refuses names that the family does not have.
"""

from __future__ import annotations

import string
from dataclasses import dataclass
from typing import Literal

Care = Literal["doubtful", "sure", "checked"]
"""How well it was looked at: guessed at in bad light, seen, seen twice or by two people."""

CARES: tuple[Care, ...] = ("doubtful", "sure", "checked")
SERIAL_CHARACTERS = string.digits + string.ascii_uppercase


class EvidenceError(ValueError):
    """Evidence names something that the family does not have, or cannot be read."""


@dataclass(frozen=True)
class Look:
    """What a look at one feature gave.

    Several forms say "this or that"; `missing` stands among them where the part is lost;
    no form at all says that it cannot be seen, so that it is not asked again.
    """

    feature: str
    forms: frozenset[str]
    care: Care = "sure"


@dataclass(frozen=True)
class SerialRead:
    """A serial as read: at each place the characters that it may be."""

    places: tuple[frozenset[str], ...]


@dataclass(frozen=True)
class Measured:
    """A measured quantity in its own unit, with the standard error of the reading."""

    quantity: str
    value: float
    error: float = 0.0


@dataclass(frozen=True)
class Evidence:
    """All that is known of one machine; empty: nothing seen yet."""

    looks: tuple[Look, ...] = ()
    markings: tuple[str, ...] = ()
    serial: SerialRead | None = None
    measured: tuple[Measured, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing here tells anything."""
        return not (any(look.forms for look in self.looks) or self.markings or self.serial or self.measured)


def saw(feature: str, *forms: str, care: Care = "sure") -> Look:
    """A look in short: `saw("lamp", "stalk", "none")` is "stalk or none"; no form: cannot be seen."""
    return Look(feature, frozenset(forms), care)


def read_serial(text: str) -> SerialRead:
    """Read a serial as a person writes it: `?` one unreadable character, `[38]` a three or an eight.

    Blanks, hyphens and full stops between the characters are passed over.

    >>> [sorted(place) for place in read_serial("k 1[83]").places]
    [['K'], ['1'], ['3', '8']]
    """
    places: list[frozenset[str]] = []
    rest = text.upper()
    while rest:
        place, rest = _next_place(rest, text)
        if place:
            places.append(place)
    if not places:
        raise EvidenceError(f"serial {text!r}: holds no character that can be read")
    return SerialRead(tuple(places))


def _next_place(rest: str, text: str) -> tuple[frozenset[str], str]:
    head, tail = rest[0], rest[1:]
    if head in " -.":
        return frozenset(), tail
    if head == "?":
        return frozenset(SERIAL_CHARACTERS), tail
    if head == "[":
        inside, closed, tail = tail.partition("]")
        if not closed or not inside or set(inside) - set(SERIAL_CHARACTERS):
            raise EvidenceError(f"serial {text!r}: '[' needs letters or digits and a ']' after it")
        return frozenset(inside), tail
    if head not in SERIAL_CHARACTERS:
        raise EvidenceError(f"serial {text!r}: {head!r} is neither letter nor digit; write ? for what cannot be read")
    return frozenset(head), tail
