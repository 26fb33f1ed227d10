"""What a printed key divides: items that show forms, each with a label that the key should end in.

A printed key has no swaps and no slips: each item shows the forms that it left the works with, several
with equal shares. Items with one label need not be told apart.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from handwheel.identify.looks import information
from handwheel.identify.tables import Tables
from handwheel.machines.questions import Effort

Shares = tuple[tuple[int, float], ...]
"""Form number and share."""

State = tuple[tuple[int, float], ...]
"""Items still in play, with their weights."""


@dataclass(frozen=True)
class KeyTable:
    """Items by number, questions by number."""

    questions: tuple[str, ...]
    forms: tuple[tuple[str, ...], ...]
    costs: tuple[float, ...]
    labels: tuple[str, ...]
    weights: tuple[float, ...]
    shows: tuple[tuple[Shares, ...], ...]
    """By item and question."""

    @property
    def whole(self) -> State:
        """All items."""
        return tuple(enumerate(self.weights))

    @property
    def is_definite(self) -> bool:
        """Whether each item shows one form of everything."""
        return all(len(shares) == 1 for row in self.shows for shares in row)


def table_of(tables: Tables, seconds: Mapping[Effort, float]) -> KeyTable:
    """The variants of a family as they left the works, and the looks that tell them apart."""
    numbers = [i for i, trait in enumerate(tables.traits) if not trait.is_marking]
    rows: dict[int, list[Shares]] = {}
    for carrier in tables.carriers:
        for place, trait in enumerate(carrier.traits):
            dists = [tables.traits[trait].rows[carrier.patterns[p][place]] for p in carrier.of_variant]
            rows[trait] = [tuple((k, p) for k, p in enumerate(dist) if p > 0) for dist in dists]
    return KeyTable(
        questions=tuple(tables.traits[i].id for i in numbers),
        forms=tuple(tables.traits[i].answers for i in numbers),
        costs=tuple(float(seconds[tables.traits[i].effort]) for i in numbers),
        labels=tables.variants,
        weights=tables.priors,
        shows=tuple(tuple(rows[i][v] for i in numbers) for v in range(len(tables.variants))),
    )


def plain_table(
    rows: Sequence[tuple[Sequence[str], str, float]], questions: Sequence[str], costs: Sequence[float] | None = None
) -> KeyTable:
    """A table of (forms, label, weight); rows alike in forms and label are joined."""
    joined: dict[tuple[tuple[str, ...], str], float] = {}
    for forms_shown, label, weight in rows:
        key = (tuple(forms_shown), label)
        joined[key] = joined.get(key, 0.0) + weight
    forms = tuple(tuple(sorted({shown[q] for shown, _ in joined})) for q in range(len(questions)))
    shows = tuple(tuple(((forms[q].index(x), 1.0),) for q, x in enumerate(shown)) for shown, _ in joined)
    labels = tuple(label for _, label in joined)
    return KeyTable(
        tuple(questions), forms, tuple(costs or [1.0] * len(questions)), labels, tuple(joined.values()), shows
    )


def split(table: KeyTable, state: State, question: int) -> dict[int, State]:
    """Items by the form that they show, in the order of the forms."""
    branches: dict[int, list[tuple[int, float]]] = {}
    for item, weight in state:
        for form, share in table.shows[item][question]:
            branches.setdefault(form, []).append((item, weight * share))
    return {form: tuple(branches[form]) for form in sorted(branches)}


def label_weights(table: KeyTable, state: State) -> dict[str, float]:
    """Weight of each label in play, in the order of the items."""
    found: dict[str, float] = {}
    for item, weight in state:
        found[table.labels[item]] = found.get(table.labels[item], 0.0) + weight
    return found


def gain(table: KeyTable, state: State, question: int) -> float:
    """Information about the label, in bits: the measure of `looks`, without slips."""
    branches = [label_weights(table, branch) for branch in split(table, state, question).values()]
    labels = list(label_weights(table, state))
    whole = sum(weight for _, weight in state)
    return information([[branch.get(label, 0.0) / whole for label in labels] for branch in branches])


def telling(table: KeyTable, state: State, asked: frozenset[int]) -> tuple[int, ...]:
    """Questions that tell some two items of different labels apart, or may."""
    items = [item for item, _ in state]
    if len({table.labels[item] for item in items}) < 2:
        return ()
    return tuple(q for q in range(len(table.questions)) if q not in asked and _tells(table, items, q))


def _tells(table: KeyTable, items: Sequence[int], question: int) -> bool:
    """Two labels differ unless all items that differ in the answer share one label."""
    labels_of: dict[Shares, set[str]] = {}
    for item in items:
        labels_of.setdefault(table.shows[item][question], set()).add(table.labels[item])
    return len(labels_of) > 1 and len(set().union(*labels_of.values())) > 1
