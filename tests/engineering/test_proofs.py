"""Slips caught in the shipped tables: at least the share measured when the tables were made."""

from __future__ import annotations

import pytest

from handwheel.engineering.perturb import Share
from handwheel.engineering.proofs import slip_shares

# Measured; a fall means that a law or a table was loosened. What is missed has no counterpart that was seen.
AT_LEAST = {
    "ISO 3448 viscosity grades": 1.0,
    "NLGI consistency numbers": 1.0,
    "ASTM D2270 Table 1": 0.947,
    "needle sizes": 0.942,
    "NIOSH table 5 (frequency)": 0.971,
    "NIOSH table 7 (coupling)": 1.0,
    "NIOSH constants, metric (kg, cm)": 1.0,
    "NIOSH constants, US customary (lb, in)": 1.0,
    "NIOSH tables 1 to 4": 0.996,
    "electrical limits": 0.775,
}


@pytest.fixture(scope="module")
def shares() -> dict[str, Share]:
    return {share.table: share for share in slip_shares()}


def test_every_table_has_a_share(shares: dict[str, Share]) -> None:
    assert shares.keys() == AT_LEAST.keys()


@pytest.mark.parametrize("table", AT_LEAST)
def test_share_caught(table: str, shares: dict[str, Share]) -> None:
    assert shares[table].share >= AT_LEAST[table], shares[table].missed[:20]


def test_what_is_missed_is_named(shares: dict[str, Share]) -> None:
    for share in shares.values():
        assert len(share.missed) == share.tried - share.caught
