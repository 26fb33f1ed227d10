"""The order of questions in a key: greedy, greedy with a look ahead, and the best there is.

Expected effort is the sum over the questions asked of their cost, over all items by weight. The best is
found by memoised recursion over the sets of items that can occur (as Garey 1972 for binary keys); finding
it is NP-complete (Hyafil & Rivest 1976), so it is only tried where the sets are few.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Sequence

from handwheel.identify.key_table import KeyTable, State, gain, label_weights, split, telling
from handwheel.identify.posterior import rounded

Asked = frozenset[int]
Rest = Callable[[State, Asked], float]
"""Costs what follows."""

AHEAD = 8
"""Questions that the look ahead tries to the end, of those that promise most."""


class TooLarge(ValueError):  # noqa: N818 - named after what is wrong
    """More sets of items than the search may visit."""


class Search:
    """One table, with what has been found out about it: the question to ask, and what the rest costs."""

    def __init__(self, table: KeyTable, most_sets: int = 20_000) -> None:
        self.table = table
        self.most_sets = most_sets
        self._greedy: dict[tuple[State, Asked], float] = {}
        self._best: dict[tuple[State, Asked], tuple[float, int | None]] = {}
        self._bounded = table.is_definite and self._all_told_apart()

    # ---- greedy

    def greedy_question(self, state: State, asked: Asked) -> int | None:
        """Most information for its cost; ties: rounded to nine decimals, then the cheaper, then the first."""
        scored = self._scored(state, asked)
        return scored[0][1] if scored else None

    def greedy_cost(self, state: State, asked: Asked = frozenset()) -> float:
        """Expected cost, times the weight of the items, of the greedy key from here."""
        key = self._key(state, asked)
        if key not in self._greedy:
            question = self.greedy_question(state, asked)
            self._greedy[key] = self._cost_of(question, state, asked, self.greedy_cost)
        return self._greedy[key]

    # ---- greedy with a look ahead

    def ahead_question(self, state: State, asked: Asked) -> int | None:
        """Of the most promising, the one after which the greedy key is cheapest."""
        tried = [question for _, question in self._scored(state, asked)[:AHEAD]]
        if len(tried) < 2:
            return tried[0] if tried else None
        costs = [self._cost_of(question, state, asked, self.greedy_cost) for question in tried]
        return min(zip(costs, tried, strict=True), key=lambda pair: rounded(pair[0]))[1]

    # ---- the best

    def best_question(self, state: State, asked: Asked) -> int | None:
        """First question of a cheapest key."""
        return self._best_of(state, asked)[1]

    def best_cost(self, state: State, asked: Asked = frozenset()) -> float:
        """Least expected cost, times the weight of the items.

        Raises:
            TooLarge: More than `most_sets` sets of items were met.
        """
        return self._best_of(state, asked)[0]

    # ---- inside

    def _best_of(self, state: State, asked: Asked) -> tuple[float, int | None]:
        key = self._key(state, asked)
        if key not in self._best:
            if len(self._best) >= self.most_sets:
                raise TooLarge(f"more than {self.most_sets} sets of items")
            self._best[key] = self._search(state, asked)
        return self._best[key]

    def _search(self, state: State, asked: Asked) -> tuple[float, int | None]:
        candidates = []
        for question in telling(self.table, state, asked):
            branches = list(split(self.table, state, question).values())
            own = self.table.costs[question] * _weight(state)
            candidates.append((own + sum(map(self._least, branches)), question, own, branches))
        best: tuple[float, int | None] = (math.inf, None) if candidates else (0.0, None)
        for bound, question, own, branches in sorted(candidates, key=lambda c: (c[0], self.table.costs[c[1]], c[1])):
            if bound >= best[0]:
                break
            total = own
            for branch in branches:
                total += self._best_of(branch, asked | {question})[0]
                if total >= best[0]:
                    break
            if total < best[0] - 1e-9:
                best = (total, question)
        return best

    def _least(self, state: State) -> float:
        """No key from here costs less: Huffman's code of the label weights, each question at the lowest cost."""
        weights = list(label_weights(self.table, state).values())
        if not self._bounded or len(weights) < 2:
            return 0.0
        return huffman(weights, max(map(len, self.table.forms))) * min(self.table.costs)

    def _scored(self, state: State, asked: Asked) -> list[tuple[tuple[float, float, int], int]]:
        found = []
        for question in telling(self.table, state, asked):
            cost = self.table.costs[question]
            found.append(((-rounded(gain(self.table, state, question) / cost), cost, question), question))
        return sorted(found)

    def _cost_of(self, question: int | None, state: State, asked: Asked, rest: Rest) -> float:
        if question is None:
            return 0.0
        after = asked | {question}
        branches = split(self.table, state, question).values()
        return self.table.costs[question] * _weight(state) + sum(rest(branch, after) for branch in branches)

    def _key(self, state: State, asked: Asked) -> tuple[State, Asked]:
        """Where every item shows one form, a question once asked tells nothing more and need not be kept."""
        if self.table.is_definite:
            return state, frozenset()
        return tuple((item, round(weight, 12)) for item, weight in state), asked

    def _all_told_apart(self) -> bool:
        labels: dict[object, str] = {}
        return all(
            labels.setdefault(shows, label) == label
            for shows, label in zip(self.table.shows, self.table.labels, strict=True)
        )


def huffman(weights: Sequence[float], ways: int = 2) -> float:
    """Least sum of weight times questions, if any division in `ways` could be asked (Huffman 1952).

    >>> huffman([8, 4, 2, 1, 1]) / 16
    1.875
    """
    heap = list(weights)
    if len(heap) < 2:
        return 0.0
    heap += [0.0] * (-(len(heap) - 1) % (max(ways, 2) - 1))
    heapq.heapify(heap)
    total = 0.0
    while len(heap) > 1:
        joined = sum(heapq.heappop(heap) for _ in range(min(max(ways, 2), len(heap))))
        total += joined
        heapq.heappush(heap, joined)
    return total


def _weight(state: State) -> float:
    return sum(weight for _, weight in state)
