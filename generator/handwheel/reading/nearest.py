"""The nearest right name, for 'did you mean'."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

_SHORTEST_STEM = 3
"""Letters that must agree before one name counts as the beginning of another."""
_MOST_WRONG = 3
_KEPT = 65_536
"""A name is looked at many times in a run; what was worked out for so many of them is kept."""


def nearest(name: str, candidates: Iterable[str]) -> str:
    """The candidate that was most likely meant, or an empty string when none is near.

    Letters added, dropped, changed or swapped with their neighbour count one each; one in three may be wrong, three at
    most. Case and the mark between words do not count; words in another order count one in all. Of equally near ones
    the one with the longest common beginning is taken. When nothing is near: the shortest that begins with the name, or
    that the name begins with.
    """
    wanted = _plain(name)
    names = sorted({candidate for candidate in candidates if candidate})
    at_most = min(_MOST_WRONG, max(1, len(wanted) // 3))
    best: list[str] = []
    for candidate in names:
        apart = _apart(wanted, _plain(candidate), at_most)
        if apart < at_most:
            best, at_most = [], apart
        if apart <= at_most:
            best.append(candidate)
    if best:
        return max(best, key=lambda other: _shared_beginning(wanted, _plain(other)))
    return _by_stem(wanted, names)


def distance(one: str, other: str, at_most: int = 1_000) -> int:
    """Letters added, dropped, changed or swapped with their neighbour; `at_most + 1` when there are more.

    Optimal string alignment: the Damerau-Levenshtein distance in which no letter is moved twice.
    """
    if abs(len(one) - len(other)) > at_most:
        return at_most + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        last, before, row = before, row, [i]
        for j, b in enumerate(other, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                cost = min(cost, last[j - 2] + 1)
            row.append(cost)
        if min(row) > at_most:  # then the row before holds nothing less than at_most, and a swap costs one more
            return at_most + 1
    return min(row[-1], at_most + 1)


def _apart(wanted: str, other: str, at_most: int) -> int:
    """The distance, with what is surely too far sorted out before it is worked out."""
    letters, size = _letters(wanted)
    other_letters, other_size = _letters(other)
    if abs(size - other_size) > at_most or (letters ^ other_letters).bit_count() > 2 * at_most:
        return at_most + 1
    apart = distance(wanted, other, at_most)
    return 1 if apart > 1 and size == other_size and _words(wanted) == _words(other) else apart


def _shared_beginning(one: str, other: str) -> int:
    return next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))


def _words(name: str) -> list[str]:
    return sorted(name.split("-"))


@lru_cache(_KEPT)
def _plain(name: str) -> str:
    return re.sub(r"[\s_-]+", "-", name.strip().casefold())


@lru_cache(_KEPT)
def _letters(name: str) -> tuple[int, int]:
    """Which letters stand in a name, as a set of bits (each change touches two at most), and how many."""
    bits = 0
    for letter in name:
        bits |= 1 << (ord(letter) & 63)
    return bits, len(name)


def _by_stem(wanted: str, candidates: Iterable[str]) -> str:
    def fits(other: str) -> bool:
        shorter = min(len(wanted), len(other))
        return shorter >= _SHORTEST_STEM and (other.startswith(wanted) or wanted.startswith(other))

    return min((name for name in candidates if fits(_plain(name))), key=lambda name: (len(name), name), default="")
