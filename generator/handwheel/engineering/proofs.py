"""How many slips of the pen each shipped table notices: grades, greases, viscosity index, needles, limits.

`slip_shares` is the whole of it, with the lifting tables; each share says against what the table was recomputed.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from handwheel.engineering.electric_limits import SCHEMES
from handwheel.engineering.lifting_proofs import lifting_shares
from handwheel.engineering.lubricants import CONSISTENCIES, GRADES
from handwheel.engineering.needles import BLADES, SIZES
from handwheel.engineering.perturb import Cells, Share, printed, share_caught
from handwheel.engineering.viscosity_index_table import by_quadratic, printed_rows, quadratic

TINY = 1e-9


def slip_shares() -> tuple[Share, ...]:
    """Every table of lubricants, needles, lifting and electrics with its share of slips caught.

    Formula: caught/tried over every digit changed to each other digit and every exchange of neighbouring digits.
    Source: the recomputation named in each share.

    >>> all(0 <= share.share <= 1 for share in slip_shares())
    True
    """
    return (
        grade_share(),
        consistency_share(),
        viscosity_index_share(),
        needle_share(),
        *lifting_shares(),
        electric_share(),
    )


def merged(table: str, against: str, shares: Iterable[Share]) -> Share:
    """Several shares of one table as one.

    >>> one = Share("t", "a", 10, 9, ("x",))
    >>> merged("t", "a", [one, one]).caught
    18
    """
    parts = list(shares)
    missed = tuple(slip for part in parts for slip in part.missed)
    return Share(table, against, sum(p.tried for p in parts), sum(p.caught for p in parts), missed)


def _close(first: float, second: float) -> bool:
    return abs(first - second) < TINY * max(1.0, abs(second))


def grade_share() -> Share:
    """Slips of ISO 3448 caught by its own rule.

    Formula: least = 0.9 middle, most = 1.1 middle, number = middle rounded, middle six rows on ten times as great.
    Source: ISO 3448.

    >>> grade_share().share
    1.0
    """
    cells = {
        f"VG {grade.number} {name}": printed(value)
        for grade in GRADES
        for name, value in (
            ("number", grade.number),
            ("middle", grade.middle),
            ("least", grade.least),
            ("most", grade.most),
        )
    }
    return share_caught("ISO 3448 viscosity grades", "middle give or take 10 %, repeating by tens", cells, _grade_laws)


def _grade_laws(cells: Cells) -> bool:
    values = [float(cell) for cell in cells.values()]
    rows = [values[i : i + 4] for i in range(0, len(values), 4)]
    inside = all(
        _close(least, 0.9 * middle) and _close(most, 1.1 * middle) and number == round(middle)
        for number, middle, least, most in rows
    )
    return inside and all(_close(later[1], 10 * row[1]) for row, later in zip(rows, rows[6:], strict=False))


def consistency_share() -> Share:
    """Slips of the grease classes caught: each 30 wide, 45 below the one before.

    Formula: most - least = 30; least falls by 45 from class to class.  Source: ASTM D217, note 1.

    >>> consistency_share().share
    1.0
    """
    cells = {
        f"{entry.name} {end}": str(value)
        for entry in CONSISTENCIES
        for end, value in (("least", entry.least), ("most", entry.most))
    }
    return share_caught("NLGI consistency numbers", "classes 30 wide, 45 apart", cells, _consistency_laws)


def _consistency_laws(cells: Cells) -> bool:
    values = [int(cell) for cell in cells.values()]
    least, most = values[::2], values[1::2]
    wide = all(high - low == 30 for low, high in zip(least, most, strict=True))
    return wide and all(low - after == 45 for low, after in pairwise(least))


def viscosity_index_share() -> Share:
    """Slips of ASTM D2270 Table 1 caught by its quadratics.

    Formula: L and H within the distance measured for that stretch of the table; Y in even steps.
    Source: the quadratics rest on memory and agree with every entry to 0.1 %: they can show a slip, not prove a digit.

    >>> 0.7 < viscosity_index_share().share < 1
    True
    """
    against = "the standard's quadratics, and even steps of Y"
    rows = printed_rows()
    shares = (_row_share(rows[i - 1] if i else None, row) for i, row in enumerate(rows))
    return merged("ASTM D2270 Table 1", against, shares)


def _row_share(before: tuple[str, str, str] | None, row: tuple[str, str, str]) -> Share:
    y, low, high = row

    def laws(cells: Cells) -> bool:
        at, *found = (float(cells[name]) for name in (f"Y {y}", f"L at {y}", f"H at {y}"))
        if not 2 <= at <= 70 or (before is not None and not _steps_evenly(float(before[0]), at)):
            return False
        bounds = quadratic(at)[-2:]
        places = [10.0 ** -len(digits.partition(".")[2]) for digits in (low, high)]
        off = [abs(value - right) for value, right in zip(found, by_quadratic(at), strict=True)]
        return all(d <= bound * place for d, bound, place in zip(off, bounds, places, strict=True))

    return share_caught("row", "quadratics", {f"Y {y}": y, f"L at {y}": low, f"H at {y}": high}, laws)


def _steps_evenly(before: float, y: float) -> bool:
    step = 0.1 if before < 20 - TINY else 0.2 if before < 30 - TINY else 0.5
    return _close(y - before, step)


def needle_share() -> Share:
    """Slips of the needle tables caught by the trade rule and the standard's even step over nominal.

    Formula: number = 8 + (Nm - 60)/5 below 19; blade = Nm/100 + 0.02 mm. The pair 120/19 has no counterpart.
    Source: trade rule and JIS B 9012:2000.

    >>> needle_share().share > 0.9
    True
    """
    cells = {
        f"{size} {name}": str(value) for size in SIZES for name, value in (("Nm", size.metric), ("no.", size.number))
    }
    cells |= {f"blade of {number}": printed(blade) for number, blade in BLADES.items()}
    return share_caught("needle sizes", "number = 8 + (Nm - 60)/5 and blade = Nm/100 + 0.02 mm", cells, _needle_laws)


def _needle_laws(cells: Cells) -> bool:
    values = list(cells.values())
    pairs = [(int(values[i]), int(values[i + 1])) for i in range(0, 2 * len(SIZES), 2)]
    by_rule = all(8 + (metric - 60) / 5 == number for metric, number in pairs[:-1])
    rising = all(low < high for low, high in pairwise(pairs))
    blades = all(_close(float(cells[f"blade of {n}"]), (60 + 5 * (n - 8)) / 100 + 0.02) for n in BLADES)
    return by_rule and rising and blades


CONSTRUCTION_LEAKAGE = {"Class I": ("0.75", "3.5"), "Class II": ("0.25",), "Class III": ("0.5",)}
"""Leakage limits of the construction standard by class [mA]: portable and stationary motor appliances of Class I."""


def electric_share() -> Share:
    """Slips of the electrical limits caught by what a second code says.

    Formula: insulation alike in the IET Code of Practice and DIN VDE 0701-0702; leakage of the IET Code and of
    DIN VDE for Class I as in IEC 60335-1, 13.2. The other figures have no counterpart that was seen, and a slip
    in them cannot be shown.
    Source: the codes named; IEC 60335-1, 13.2, from correspondence on the standard (seen).

    >>> 0.3 < electric_share().share < 0.9
    True
    """
    cells = {
        f"{scheme.name} {kind} {entry.value}": printed(value)
        for scheme in SCHEMES
        for kind, table, basis in (
            ("insulation", scheme.insulation, scheme.insulation_basis),
            ("leakage", scheme.leakage, scheme.leakage_basis),
        )
        for entry, value in table
        if basis.standing.may_permit
    }
    return share_caught("electrical limits", "a second code where one was seen", cells, _electric_laws)


def _electric_laws(cells: Cells) -> bool:
    uk, vde = "IET Code of Practice", "DIN VDE 0701-0702"
    insulation = all(
        float(cells[f"{uk} insulation {name}"]) == float(cells[f"{vde} insulation {name}"])
        for name in CONSTRUCTION_LEAKAGE
    )
    leakage = all(
        float(cells[f"{uk} leakage {name}"]) == float(figures[0]) for name, figures in CONSTRUCTION_LEAKAGE.items()
    )
    stationary = CONSTRUCTION_LEAKAGE["Class I"][1]
    return insulation and leakage and float(cells[f"{vde} leakage Class I"]) == float(stationary)
