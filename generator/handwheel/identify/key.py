"""A printed key: numbered questions that lead from a machine in its first state to its variant.

The same measure chooses its questions as on screen, seconds of effort counted, so glances come first. Where
the family is small enough the key is the best there is; where not, a greedy key with a look ahead.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from handwheel.identify.key_search import Asked, Search, TooLarge
from handwheel.identify.key_table import KeyTable, State, split, table_of
from handwheel.identify.looks import SECONDS
from handwheel.identify.tables import Tables
from handwheel.machines.questions import Effort

SMALL = 8_000
"""Sets of variants that the search for the best key may meet; some seconds of work."""


@dataclass(frozen=True)
class Way:
    """One answer of a question: forms, and where it leads."""

    forms: tuple[str, ...]
    to: int | None
    """Number of the next question; None: it ends here."""
    variants: tuple[str, ...] = ()
    """Where it ends: the variant, or those that no further look tells apart."""


@dataclass(frozen=True)
class Question:
    """A numbered question of the key."""

    number: int
    feature: str
    ways: tuple[Way, ...]


@dataclass(frozen=True)
class Key:
    """The questions in print order: each stands before those it leads to, the first is number one."""

    questions: tuple[Question, ...]
    seconds: float
    """Expected effort to the end."""
    looks: float
    """Expected number of questions."""
    is_best: bool
    """Whether no key needs less effort; if not it is the greedy one with a look ahead."""


def printed_key(
    tables: Tables,
    seconds: Mapping[Effort, float] | None = None,
    small: int = SMALL,
    dearer: Mapping[str, float] | None = None,
) -> Key:
    """Make the key of a family.

    Args:
        tables: The family; swaps, slips and serials play no part in a printed key.
        seconds: What a look costs, by effort.
        small: Sets of variants up to which the best key is searched for.
        dearer: By feature, how many times its cost a look counts: what a swapped part may cost later, say.
    """
    table = table_of(tables, seconds or SECONDS)
    times = [(dearer or {}).get(question, 1.0) for question in table.questions]
    costs = tuple(cost * factor for cost, factor in zip(table.costs, times, strict=True))
    return key_of(replace(table, costs=costs), small)


def key_of(table: KeyTable, small: int = SMALL) -> Key:
    """Make the key of any table of items."""
    search = Search(table, small)
    try:
        search.best_cost(table.whole)
        choose, is_best = search.best_question, True
    except TooLarge:
        choose, is_best = search.ahead_question, False
    return _written(table, choose, is_best)


Choose = Callable[[State, Asked], int | None]


def _written(table: KeyTable, choose: Choose, is_best: bool) -> Key:
    questions: list[Question] = []
    effort = [0.0, 0.0]

    def write(state: State, asked: Asked) -> Way:
        """Write what follows; the way to it, without its forms."""
        chosen = choose(state, asked)
        if chosen is None:
            return Way((), None, tuple(dict.fromkeys(table.labels[item] for item, _ in state)))
        number = len(questions) + 1
        questions.append(Question(number, table.questions[chosen], ()))
        weight = sum(weight for _, weight in state)
        effort[0] += weight * table.costs[chosen]
        effort[1] += weight
        branches = split(table, state, chosen)
        ways = [(table.forms[chosen][form], write(branch, asked | {chosen})) for form, branch in branches.items()]
        questions[number - 1] = Question(number, table.questions[chosen], _joined(ways))
        return Way((), number)

    write(table.whole, frozenset())
    whole = sum(table.weights)
    return Key(tuple(questions), effort[0] / whole, effort[1] / whole, is_best)


def _joined(ways: list[tuple[str, Way]]) -> tuple[Way, ...]:
    """Forms that end in the same variants are one way: "this or that"."""
    forms: dict[Way, tuple[str, ...]] = {}
    for form, way in ways:
        forms[way] = (*forms.get(way, ()), form)
    return tuple(Way(names, way.to, way.variants) for way, names in forms.items())


@dataclass(frozen=True)
class Difference:
    """A feature in which two variants differ as they left the works."""

    feature: str
    effort: Effort
    never_swapped: bool
    first: tuple[str, ...]
    second: tuple[str, ...]

    @property
    def settles(self) -> bool:
        """Whether one look at an original part always tells the two apart."""
        return not set(self.first) & set(self.second)


def differences(tables: Tables, first: int, second: int) -> tuple[Difference, ...]:
    """What tells two variants apart: what settles it first, then castings before fittings, then easy looks."""
    found = []
    for carrier in tables.carriers:
        patterns = [carrier.patterns[carrier.of_variant[v]] for v in (first, second)]
        for place, number in enumerate(carrier.traits):
            trait = tables.traits[number]
            forms = [tuple(f for f, p in zip(trait.answers, trait.rows[k[place]], strict=False) if p) for k in patterns]
            if not trait.is_marking and forms[0] != forms[1]:
                found.append(Difference(trait.id, trait.effort, carrier.never_swapped, forms[0], forms[1]))
    efforts = list(SECONDS)
    return tuple(sorted(found, key=lambda d: (not d.settles, not d.never_swapped, efforts.index(d.effort))))


def neighbours(tables: Tables) -> tuple[tuple[str, str, tuple[Difference, ...]], ...]:
    """Each variant with the one that follows it in the family, and what tells the two apart."""
    pairs = zip(range(len(tables.variants)), range(1, len(tables.variants)), strict=False)
    return tuple((tables.variants[a], tables.variants[b], differences(tables, a, b)) for a, b in pairs)
