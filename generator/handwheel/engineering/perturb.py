"""Slips of the pen: each digit of a table's values changed, or exchanged with its neighbour.

A table that ships with its proof should notice when one digit is wrong. `share_caught` tries
every such slip, recomputes the table's laws with it, and counts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

Cells = Mapping[str, str]
"""A table as printed: the name of each cell and its digits."""

Laws = Callable[[Cells], bool]
"""Whether the whole table still agrees with what it is recomputed from."""


@dataclass(frozen=True)
class Share:
    """How many slips of one table its laws notice, and which ones slip through."""

    table: str
    against: str
    tried: int
    caught: int
    missed: tuple[str, ...] = field(repr=False)

    @property
    def share(self) -> float:
        """Caught of tried, 0 to 1."""
        return self.caught / self.tried

    def __str__(self) -> str:
        return f"{self.table}: {self.caught} of {self.tried} slips caught ({self.share:.1%}), against {self.against}"


def printed(value: float) -> str:
    """A table value as its digits, without exponent and without a needless '.0'.

    >>> printed(24.2), printed(100.0), printed(0.94)
    ('24.2', '100', '0.94')
    """
    return f"{value:.12g}"


def slips(digits: str) -> Iterator[str]:
    """Every text that one wrong digit, or one exchange of neighbouring digits, makes of it.

    >>> sorted(slips("1.2"), key=float)[:3], len(list(slips("1.2")))
    (['0.2', '1.0', '1.1'], 19)
    """
    yield from _changed(digits)
    yield from _exchanged(digits)


def _changed(digits: str) -> Iterator[str]:
    for place, old in enumerate(digits):
        if old.isdigit():
            yield from (digits[:place] + new + digits[place + 1 :] for new in "0123456789" if new != old)


def _exchanged(digits: str) -> Iterator[str]:
    places = [place for place, sign in enumerate(digits) if sign.isdigit()]
    for left, right in pairwise(places):
        if digits[left] != digits[right]:
            chars = list(digits)
            chars[left], chars[right] = chars[right], chars[left]
            yield "".join(chars)


def share_caught(table: str, against: str, cells: Cells, laws: Laws) -> Share:
    """Try every slip of every cell, one at a time, and count those that the laws notice.

    Args:
        table: name of the table.
        against: what it is recomputed from, in words.
        cells: the table as shipped.
        laws: true when the table agrees with what it is recomputed from.

    Raises:
        ValueError: the untouched table does not keep its own laws.

    >>> share = share_caught("doubles", "twice the first", {"a": "12", "b": "24"}, lambda c: 2 * int(c["a"]) == int(c["b"]))
    >>> share.tried, share.caught
    (38, 38)
    """  # noqa: E501
    if not laws(cells):
        raise ValueError(f"{table}: the table as shipped does not agree with {against}")
    tried, missed = 0, []
    for name, digits in cells.items():
        for slip in slips(digits):
            tried += 1
            if laws({**cells, name: slip}):
                missed.append(f"{name}: {digits} as {slip}")
    return Share(table, against, tried, tried - len(missed), tuple(missed))
