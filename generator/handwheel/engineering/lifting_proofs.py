"""How many slips of the pen the lifting tables notice, against the manual's own tables and worked examples."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from itertools import pairwise
from typing import Any

from handwheel.engineering.lifting import (
    asymmetric_multiplier,
    distance_multiplier,
    horizontal_multiplier,
    vertical_multiplier,
)
from handwheel.engineering.lifting_tables import (
    FREQUENCY_ROWS,
    METRIC,
    MISPRINTED,
    PRINTED,
    US,
    Constants,
    Coupling,
)
from handwheel.engineering.perturb import Cells, Share, printed, share_caught

COLUMNS = ("1 h low", "1 h high", "2 h low", "2 h high", "8 h low", "8 h high")


@dataclass(frozen=True)
class Example:
    """A published limit or index that fixes table cells.

    Args:
        name: where it stands.
        others: product of all but FM and CM, in the source's own rounding.
        frequency, coupling: the cells that it uses.
        value: the figure printed.
        tolerance: half a unit of its last place.
        over: load, when the figure is an index and not a limit.
    """

    name: str
    others: float
    frequency: str
    coupling: str
    value: float
    tolerance: float
    over: float | None = None

    def agrees(self, frequency: float, coupling: float) -> bool:
        """Whether the figure follows from the two cells."""
        limit = self.others * frequency * coupling
        found = limit if self.over is None else self.over / limit if limit else float("inf")
        return abs(found - self.value) <= self.tolerance + 1e-9


EXAMPLES = (
    Example("example 1, origin", 51 * 0.44 * 0.89 * 0.86, "0.2 1 h low", "FAIR low", 16.3, 0.05),
    Example("example 1, destination", 51 * 0.44 * 0.75 * 0.86, "0.2 1 h low", "FAIR high", 14.5, 0.05),
    Example("example 4, origin", 51 * 0.94 * 0.87, "3 1 h low", "FAIR low", 34.9, 0.05),
    Example("example 4, destination", 51 * 0.50 * 0.78 * 0.87, "3 1 h low", "FAIR high", 15.2, 0.05),
    Example("example 5, origin", 51 * 0.50 * 0.90 * 0.87 * 0.90, "5 1 h high", "GOOD high", 14.4, 0.05),
    Example("example 5, destination", 51 * 0.50 * 0.83 * 0.87 * 0.90, "5 1 h high", "GOOD low", 13.3, 0.05),
    Example("NTP 477, first task", 23, "1 2 h high", "GOOD high", 0.988, 0.0005, 20),
    Example("NTP 477, second task", 23 * 25 / 30, "2 2 h high", "POOR high", 1.725, 0.0005, 25),
    Example("NTP 477, third task", 23 * 25 / 30 * 0.856, "2 2 h high", "GOOD high", 1.088, 0.0005, 15),
    Example("example 2, origin (figures from memory)", 51 * 0.67 * 0.98 * 0.93, "0.2 1 h low", "POOR low", 28.0, 0.05),
    Example("example 2, destination (as that)", 51 * 0.50 * 0.85 * 0.93, "0.2 1 h low", "POOR low", 18.1, 0.05),
)
"""NIOSH 94-110 ch. 3 (pounds, multipliers to two decimals) and INSST note NTP 477 (kg, unrounded)."""


def lifting_shares() -> tuple[Share, ...]:
    """Shares of slips caught in every table of the lifting equation.

    Formula: see each.  Source: NIOSH 94-110 (2021), tables 1 to 5 and 7, chapter 3; INSST note NTP 477.

    >>> len(lifting_shares())
    5
    """
    return (
        frequency_share(),
        coupling_share(),
        constants_share(METRIC),
        constants_share(US),
        printed_share(),
    )


def frequency_cells() -> dict[str, str]:
    """Table 5 as cells, the rates among them.

    >>> frequency_cells()["3 1 h low"]
    '.88'
    """
    cells = {f"rate {row[0]}": row[0] for row in FREQUENCY_ROWS}
    cells |= {f"{row[0]} {name}": value for row in FREQUENCY_ROWS for name, value in zip(COLUMNS, row[1:], strict=True)}
    return cells


def coupling_cells() -> dict[str, str]:
    """Table 7 as cells.

    >>> coupling_cells()["FAIR low"]
    '0.95'
    """
    return {
        f"{entry.name} {end}": f"{value:.2f}"
        for entry in Coupling
        for end, value in (("low", entry.low), ("high", entry.high))
    }


def frequency_share() -> Share:
    """Slips of table 5 caught.

    Formula: a column for low hands equals its neighbour for high hands until it is 0; each column falls to the
    end; longer work never permits more; rates 0.2, 0.5 and whole; the worked examples come out. A cell without
    twin or example is only bounded by its neighbours.
    Source: NIOSH 94-110 (2021), table 5, p. 15, and the examples.

    >>> frequency_share().share > 0.9
    True
    """
    against = "twin columns, falling order and worked examples"
    return share_caught("NIOSH table 5 (frequency)", against, frequency_cells(), _frequency_laws)


def _frequency_laws(cells: Cells) -> bool:
    rates = [float(cells[f"rate {row[0]}"]) for row in FREQUENCY_ROWS]
    if rates[0] != 0.2 or not 0.2 < rates[1] < 1 or rates[2:] != list(range(1, 16)):
        return False  # 0.2 is the floor in the manual's text; the one at 0.5 has no counterpart
    table = [[float(cells[f"{row[0]} {name}"]) for name in COLUMNS] for row in FREQUENCY_ROWS]
    if not all(_row_laws(row) for row in table) or not all(_falls(above, below) for above, below in pairwise(table)):
        return False
    held = coupling_cells()
    return all(e.agrees(float(cells[e.frequency]), float(held[e.coupling])) for e in EXAMPLES)


def _row_laws(row: list[float]) -> bool:
    twins = all(low in (0.0, high) for low, high in zip(row[::2], row[1::2], strict=True))
    return twins and row[1] >= row[3] >= row[5] and 0 <= max(row) <= 1


def _falls(above: list[float], below: list[float]) -> bool:
    return all(b < a or a == b == 0 for a, b in zip(above, below, strict=True))


def coupling_share() -> Share:
    """Slips of table 7 caught.

    Formula: a better hold never permits less, high hands never less than low, nothing above 1; the worked
    examples come out.
    Source: NIOSH 94-110 (2021), table 7, p. 18, and the examples.

    >>> coupling_share().share > 0.9
    True
    """
    against = "order of the classes and worked examples"
    return share_caught("NIOSH table 7 (coupling)", against, coupling_cells(), _coupling_laws)


def _coupling_laws(cells: Cells) -> bool:
    low = [float(cells[f"{entry.name} low"]) for entry in Coupling]
    high = [float(cells[f"{entry.name} high"]) for entry in Coupling]
    ordered = low[0] >= low[1] >= low[2] and high[0] >= high[1] >= high[2] and high[0] <= 1
    if not ordered or any(a > b for a, b in zip(low, high, strict=True)):
        return False
    table = frequency_cells()
    return all(e.agrees(float(table[e.frequency]), float(cells[e.coupling])) for e in EXAMPLES)


def constants_share(constants: Constants) -> Share:
    """Slips of one set of the equation's constants caught.

    Formula: tables 1 to 3 come out to their two decimals (three cells that the manual itself prints otherwise
    left out), and end where they end; the load constant by worked examples.
    Source: NIOSH 94-110 (2021), tables 1 to 3; examples 4 and 5; NTP 477.

    >>> constants_share(METRIC).share > 0.9
    True
    """
    numbers = [f.name for f in fields(constants) if f.name not in ("name", "basis", "mass", "length")]
    cells = {name: printed(getattr(constants, name)) for name in numbers}

    def laws(slipped: Cells) -> bool:
        values: dict[str, Any] = {name: float(slipped[name]) for name in numbers}
        return _constants_laws(replace(constants, **values))

    return share_caught(f"NIOSH constants, {constants.name}", "tables 1 to 3 and worked examples", cells, laws)


def _constants_laws(constants: Constants) -> bool:
    unit, example = ("cm", EXAMPLES[6]) if constants.length == METRIC.length else ("in", EXAMPLES[2])
    functions = _functions(constants)
    given = METRIC.load if unit == "cm" else US.load
    scaled = replace(example, others=example.others / given * constants.load)
    table, held = frequency_cells(), coupling_cells()
    load = scaled.agrees(float(table[scaled.frequency]), float(held[scaled.coupling]))
    ends = all(float(PRINTED[f"{name}, {unit}"].split()[-2]) == end for name, end in _ends(constants).items())
    starts = constants.near == constants.short == float(PRINTED[f"HM, {unit}"].split()[0])
    return load and ends and starts and all(_table_agrees(f"{n}, {unit}", functions[n]) for n in functions)


def _ends(constants: Constants) -> dict[str, float]:
    return {"HM": constants.far, "VM": constants.highest, "DM": constants.long}


def _functions(constants: Constants) -> dict[str, Callable[[float], float]]:
    return {
        "HM": lambda x: horizontal_multiplier(x * constants.length, constants),
        "VM": lambda x: vertical_multiplier(x * constants.length, constants),
        "DM": lambda x: distance_multiplier(x * constants.length, constants),
    }


def _table_agrees(name: str, function: Callable[[float], float]) -> bool:
    numbers = PRINTED[name].split()
    return all(
        _cell_agrees(name, argument, value, function)
        for argument, value in zip(numbers[::2], numbers[1::2], strict=True)
    )


def _cell_agrees(name: str, argument: str, value: str, function: Callable[[float], float]) -> bool:
    """Half a unit goes up, as in the manual."""
    slack = 0.015 if (name, argument) in MISPRINTED else 0.005
    over = function(float(argument)) - float(value)
    return -slack - 1e-9 <= over < slack - 1e-9


def printed_share() -> Share:
    """Slips of the manual's tables 1 to 4, as kept for proof, caught by the formulas.

    Formula: multiplier within half a unit of its last place (one and a half in the three misprinted cells).
    Source: NIOSH 94-110 (2021), tables 1 to 4.

    >>> printed_share().share > 0.9
    True
    """
    cells = {
        f"{name}, {argument}": value
        for name, text in PRINTED.items()
        for argument, value in zip(text.split()[::2], text.split()[1::2], strict=True)
    }
    functions = _all_functions()

    def laws(slipped: Cells) -> bool:
        return all(
            _cell_agrees(name.rpartition(", ")[0], name.rpartition(", ")[2], value, functions[name.rpartition(", ")[0]])
            for name, value in slipped.items()
        )

    return share_caught("NIOSH tables 1 to 4", "the equation's formulas", cells, laws)


def _all_functions() -> dict[str, Callable[[float], float]]:
    found: dict[str, Callable[[float], float]] = {"AM, degrees": asymmetric_multiplier}
    for unit, constants in (("cm", METRIC), ("in", US)):
        found |= {f"{name}, {unit}": function for name, function in _functions(constants).items()}
    return found
