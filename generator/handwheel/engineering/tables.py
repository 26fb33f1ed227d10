"""Tables as they are printed, with what they rest on, and their proof by recomputation.

Values are kept as the text of the source, so that a figure can be compared digit by digit. A table's rules
recompute what can be recomputed; `share_of` changes each digit of each value and counts how many such
slips the rules catch.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from handwheel.engineering.basis import Basis
from handwheel.engineering.perturb import Share, slips

Row = Mapping[str, str]


@dataclass(frozen=True)
class Difference:
    """A printed value that the recomputation does not give."""

    row: str
    column: str
    printed: str
    expected: str

    def __str__(self) -> str:
        return f"{self.row}, {self.column}: printed {self.printed}, recomputed {self.expected}"


RowRule = Callable[[Row], Iterable[Difference]]


@dataclass(frozen=True)
class Table:
    """One shipped table: columns with units, rows as printed, what it rests on, rules that recompute it.

    Args:
        name: name of the table.
        key: the column that names a row.
        units: unit of each column; '' for a name or a number.
        rows: the rows, cells as the source prints them.
        basis: what the table rests on.
        against: what its rules recompute it from, in words.
        rules: each yields the differences that it finds in a row.
    """

    name: str
    key: str
    units: Mapping[str, str]
    rows: tuple[Row, ...]
    basis: Basis
    against: str
    rules: tuple[RowRule, ...] = ()

    def row(self, name: str) -> Row:
        """The row of that name; `KeyError` names those there are."""
        for row in self.rows:
            if row[self.key] == name:
                return row
        raise KeyError(f"{self.name} has no {name!r}; it has {', '.join(r[self.key] for r in self.rows)}")


def rows_of(columns: str, text: str) -> tuple[Row, ...]:
    """Rows from a block of text, one a line, columns divided by blanks; '-' leaves a cell out.

    >>> rows_of("size pitch", "M4 0.7")[0]["pitch"]
    '0.7'
    """
    names = columns.split()
    lines = [line.split() for line in text.strip().splitlines()]
    if any(len(cells) != len(names) for cells in lines):
        raise ValueError(f"each row needs the columns {columns}")
    return tuple({n: c for n, c in zip(names, cells, strict=True) if c != "-"} for cells in lines)


def last_place(printed: str) -> float:
    """One unit in the last printed place.

    >>> last_place("8.78"), last_place("180")
    (0.01, 1.0)
    """
    return float(10 ** -len(printed.partition(".")[2]))


def agrees(printed: str, computed: float, places: float = 0.5) -> bool:
    """Whether a printed figure is the computed one within so many units of its last place.

    >>> agrees("8.78", 8.779), agrees("8.79", 8.779)
    (True, False)
    """
    return abs(float(printed) - computed) <= places * last_place(printed) * (1 + 1e-6)


def compare(row: Row, key: str, column: str, computed: float, places: float = 0.5) -> Iterator[Difference]:
    """The difference of one cell, if there is one; an empty cell has none."""
    printed = row.get(column)
    if printed is not None and not agrees(printed, computed, places):
        yield Difference(row[key], column, printed, f"{computed:.6g}")


def same(row: Row, key: str, column: str, expected: str) -> Iterator[Difference]:
    """The difference of one cell from a text that it must equal as a number."""
    if float(row[column]) != float(expected):
        yield Difference(row[key], column, row[column], expected)


def differences(table: Table) -> tuple[Difference, ...]:
    """All that the rules of a table find in it."""
    return tuple(found for row in table.rows for rule in table.rules for found in rule(row))


def share_of(table: Table) -> Share:
    """Change every digit of every value but the row's name, one at a time, and count what the rules catch.

    Slips are judged within their own row, so this is the same as recomputing the whole table for each.
    A table that nothing recomputes counts the digits of its names too: there they are the values.
    """
    tried, missed = 0, []
    for row in table.rows:
        for column in (c for c in row if c != table.key or not table.rules):
            for slip in slips(row[column]):
                tried += 1
                if not _caught(table, {**row, column: slip}):
                    missed.append(f"{row[table.key]} {column}: {row[column]} as {slip}")
    return Share(table.name, table.against, tried, tried - len(missed), tuple(missed))


def _caught(table: Table, row: Row) -> bool:
    """Whether a rule objects to the row, or cannot even compute with it."""
    try:
        return any(True for rule in table.rules for _ in rule(row))
    except (ValueError, ArithmeticError):
        return True
