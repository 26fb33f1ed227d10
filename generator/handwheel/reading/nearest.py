"""The nearest right name, for 'did you mean'."""

from __future__ import annotations

import re
from collections.abc import Iterable

_SHORTEST_STEM = 3
"""Letters that must agree before one name counts as the beginning of another."""


def nearest(name: str, candidates: Iterable[str]) -> str:
    """The candidate that was most likely meant, or an empty string when none is near.

    Letters added, dropped, changed or swapped with their neighbour count one each; about one in three may be wrong.
    Case and the mark between words do not count; words in another order count one in all. When nothing is near, the
    shortest candidate that begins with the name (or that the name begins with) is taken.
    """
    wanted = _plain(name)
    allowed = max(1, len(wanted) // 3)
    ranked = sorted((_rank(wanted, other, allowed), other) for other in set(candidates) if other)
    if ranked and ranked[0][0][0] <= allowed:
        return ranked[0][1]
    return _by_stem(wanted, (other for _, other in ranked))


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
        if min(row) > at_most:
            return at_most + 1
    return min(row[-1], at_most + 1)


def _plain(name: str) -> str:
    return re.sub(r"[\s_-]+", "-", name.strip().casefold())


def _rank(wanted: str, candidate: str, allowed: int) -> tuple[int, int, int]:
    other = _plain(candidate)
    apart = distance(wanted, other, allowed)
    if apart > 1 and sorted(wanted.split("-")) == sorted(other.split("-")):
        apart = 1
    return apart, -_shared_beginning(wanted, other), len(other)


def _shared_beginning(one: str, other: str) -> int:
    return next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))


def _by_stem(wanted: str, candidates: Iterable[str]) -> str:
    def fits(other: str) -> bool:
        shorter = min(len(wanted), len(other))
        return shorter >= _SHORTEST_STEM and (other.startswith(wanted) or wanted.startswith(other))

    return min((name for name in candidates if fits(_plain(name))), key=lambda name: (len(name), name), default="")
