"""How many slips of the pen the tables of threads, strength, tightening and blades notice.

`thread_shares` is the whole of it; each share says against what the table was recomputed.
"""

from __future__ import annotations

from handwheel.engineering import blades, strength, stripping, thread_series
from handwheel.engineering.perturb import Share
from handwheel.engineering.tables import Difference, Table, differences, share_of


def shipped_tables() -> tuple[Table, ...]:
    """Every shipped table of this half of the floor.

    >>> len({table.name for table in shipped_tables()}) == len(shipped_tables())
    True
    """
    return (*thread_series.TABLES, *strength.TABLES, stripping.METRIC_LIMITS, *blades.TABLES)


def thread_shares() -> tuple[Share, ...]:
    """Every table with the share of digit slips that recomputation catches.

    >>> print(next(share for share in thread_shares() if share.table == "British Association"))
    British Association: 1376 of 1376 slips caught (100.0%), against P = 0.9^N, the depth 0.6 P to the nearest 0.005 mm, D near 6 P^1.2
    """  # noqa: E501
    return tuple(share_of(table) for table in shipped_tables())


def disagreements() -> tuple[Difference, ...]:
    """What recomputation finds wrong in the tables as shipped; nothing, or the tests fail.

    >>> disagreements()
    ()
    """
    return tuple(found for table in shipped_tables() for found in differences(table))
