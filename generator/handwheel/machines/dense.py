"""Cells without combinations that cannot stand: shorter masks where `cannot_stand` leaves few of a large product."""

from __future__ import annotations

from array import array
from bisect import bisect_left
from collections.abc import Mapping
from itertools import compress

from handwheel.machines.cells import Axis, Cells
from handwheel.machines.family import Forms
from handwheel.machines.masks import ones

WORTH = 20_000
"""Cells below which the product is kept as it is."""
SPARSE = 3
"""How many times more cells than machines there must be."""

_DIGITS = bytes.maketrans(b"01", b"\x00\x01")
_LEFT_OUT = b"\x02\x03"
"""A cell that is left out, with 0 or 1 in it: a bit that no other has marks it."""
_MARKED = bytes.maketrans(b"\x00\x01", b"\x02\x00")


def worth(cells: Cells, standing: int) -> bool:
    """Whether leaving out what cannot stand makes masks much shorter."""
    return cells.size > WORTH and standing.bit_count() * SPARSE < cells.size


class DenseCells:
    """The cells that can stand, numbered in the order of the product."""

    def __init__(self, cells: Cells, standing: int) -> None:
        self.cells = cells
        self.index = cells.index
        self.axes = cells.axes
        self.derived = cells.derived
        kept = _bytes_of(standing, cells.size)
        self._numbers = array("L", compress(range(cells.size), kept))
        self._left_out = int.from_bytes(kept.translate(_MARKED), "little")
        self.size = len(self._numbers)
        self.full = ones(self.size)
        self._values = {axis: self._values_on(axis) for axis in cells.axes}
        self._leaves: dict[tuple[str, str], int] = {}

    def leaf(self, question: str, state: str) -> int:
        """Cells that show one state of one question (or are of one variant)."""
        found = self._leaves.get((question, state))
        if found is None:
            found = self._leaves[question, state] = self._dense(self.cells.leaf(question, state))
        return found

    def picked(self, axis: Axis, values: frozenset[Forms]) -> int:
        """Cells whose answers on the axis are among the values."""
        wanted = [value in values for value in axis.values]
        return _mask_of(bytes(wanted[value] for value in self._values[axis]))

    def answers(self, bit: int) -> dict[str, str]:
        """What the cell answers to every question that is looked at, the variant included."""
        return self.cells.answers(self._numbers[bit])

    def bit_of(self, answers: Mapping[str, str]) -> int | None:
        """The cell that gives these answers, if it can stand."""
        number = self.cells.bit_of(answers)
        if number is None:
            return None
        bit = bisect_left(self._numbers, number)
        return bit if bit < self.size and self._numbers[bit] == number else None

    def _dense(self, mask: int) -> int:
        each = int.from_bytes(_bytes_of(mask, self.cells.size), "little") | self._left_out
        return _mask_of(each.to_bytes(self.cells.size, "little").translate(None, _LEFT_OUT))

    def _values_on(self, axis: Axis) -> array[int]:
        count = len(axis.values)
        return array("L", (number // axis.stride % count for number in self._numbers))


def _bytes_of(mask: int, size: int) -> bytes:
    """A mask as one byte a cell, 0 or 1, the lowest first."""
    return format(mask, f"0{size}b")[::-1].encode().translate(_DIGITS) if size else b""


def _mask_of(each: bytes) -> int:
    """One byte a cell, 0 or 1, the lowest first, as a mask."""
    return int(each[::-1].translate(bytes.maketrans(b"\x00\x01", b"01")) or b"0", 2)
