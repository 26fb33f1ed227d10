"""The shipped tables recompute, and a slip of the pen in them shows."""

from __future__ import annotations

import pytest

from handwheel.engineering.perturb import slips
from handwheel.engineering.tables import Table, agrees, differences, rows_of, same, share_of
from handwheel.engineering.thread_proofs import disagreements, shipped_tables, thread_shares
from handwheel.engineering.thread_series import UNIFIED

# Measured once and kept as a floor, a little below what the function prints: weakening a rule shows here.
CAUGHT_AT_LEAST = {
    "ISO metric coarse": 0.99,
    "Unified, small sizes": 0.99,
    "British Association": 0.99,
    "British Standard Whitworth, small sizes": 0.97,
    "special inch threads of sewing machines": 0.0,
    "property classes of steel screws": 0.99,
    "proof and breaking loads of steel screws": 0.97,
    "brass screws": 0.95,
    "low-carbon steel machine screws": 0.88,
    "shear strength of castings": 0.99,
    "limits of 6g screws and 6H holes": 0.94,
    "hand screwdriver tips for slotted screws": 0.98,
    "slots of metric screws": 0.92,
    "slots of older metric countersunk screws, where they differ": 0.99,
    "slots of inch machine screws": 0.99,
}


def test_the_tables_as_shipped_agree_with_their_recomputation() -> None:
    assert disagreements() == ()


def test_shares_of_slips_caught() -> None:
    shares = {share.table: share for share in thread_shares()}
    assert set(shares) == set(CAUGHT_AT_LEAST)
    for name, floor in CAUGHT_AT_LEAST.items():
        assert shares[name].share >= floor, shares[name]
        assert shares[name].tried > 50


def test_a_table_that_nothing_recomputes_says_so() -> None:
    share = next(s for s in thread_shares() if s.table == "special inch threads of sewing machines")
    assert share.caught == 0
    assert "nothing" in share.against


def test_the_known_misprints_of_handbooks_would_be_caught() -> None:
    """Shigley's Table 8-2 prints 0.00880 for 5-44; a copy of the UNC table prints 0.667 for the minor of 2-56."""
    for size, column, misprint in (("5-44", "As", "0.00880"), ("2-56", "K", "0.667")):
        row = {**UNIFIED.row(size), column: misprint}
        found = [d for rule in UNIFIED.rules for d in rule(row)]
        assert [(d.row, d.column, d.printed) for d in found] == [(size, column, misprint)]


@pytest.mark.parametrize("table", shipped_tables(), ids=lambda table: table.name)
def test_every_table_says_what_it_rests_on_and_names_its_columns(table: Table) -> None:
    assert table.basis.source
    assert table.against
    assert {column for row in table.rows for column in row} <= set(table.units)
    assert len({row[table.key] for row in table.rows}) == len(table.rows)


def test_share_of_counts_each_slip_once() -> None:
    """'12' has 18 changed digits and one exchange; the rule compares the cell with its row's name."""
    table = Table("t", "k", {"k": "", "v": ""}, rows_of("k v", "12 12"), UNIFIED.basis, "its name",
                  (lambda row: same(row, "k", "v", row["k"]),))  # fmt: skip
    share = share_of(table)
    assert (share.tried, share.caught) == (len(set(slips("12"))), 19)
    assert differences(table) == ()


def test_rounding_is_judged_in_the_last_printed_place() -> None:
    assert agrees("1.0", 1.05)
    assert not agrees("1.00", 1.05)
    with pytest.raises(ValueError, match="each row needs the columns"):
        rows_of("a b", "1")
    with pytest.raises(KeyError, match="has no '99-99'; it has 0-80"):
        UNIFIED.row("99-99")
