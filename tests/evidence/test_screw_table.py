"""What goes with a candidate: against the standards' own examples and the engine below."""

from __future__ import annotations

import dataclasses
import doctest

import pytest

from handwheel.engineering.thread_series import all_threads, thread
from handwheel.evidence import screw_table as table
from handwheel.records.library import Library


def test_examples_in_the_docs() -> None:
    found = doctest.testmod(table)
    assert found.attempted > 3
    assert found.failed == 0


@pytest.mark.parametrize(("name", "blade"), [("M3", "0.8x4"), ("M5", "1.2x8"), ("M6", "1.6x10")])
def test_usual_blades(name: str, blade: str) -> None:
    """ISO 1207: n 0.8, 1.2 and 1.6 mm for M3, M5 and M6, the tips of ISO 2380-1 table 1."""
    assert table.usual_blade(thread(name)) == blade


def test_known_traps_are_told() -> None:
    """2 BA and M5 against 10-32 UNF start by hand and bind: common in the trade."""
    found = {each.other: each for each in table.beware_of(thread("10-32 UNF"))}
    assert found["M5"].binds_after is not None
    assert found["2 BA"].binds_after is not None
    assert 0 <= found["M5"].binds_after.low < found["M5"].binds_after.high


def test_every_thread_gives_way_somewhere_in_every_metal() -> None:
    for each in all_threads():
        torques = [table.gives_way(each, metal).torque for metal in table.metals()]
        assert all(torque > 0 for torque in torques), each.name


def test_a_thread_that_the_shop_measured_takes_the_place_of_its_recollection(demo: Library) -> None:
    record = dataclasses.replace(demo.threads["sm-9-64-40"], source=demo.fasteners["pillar-screw"].source)
    kinds = {plural: dict(records) for plural, records in demo.kinds.items()}
    kinds["threads"]["sm-9-64-40"] = record
    before, after = table.threads_for(demo), table.threads_for(dataclasses.replace(demo, kinds=kinds))
    assert len(before) == len(after) == len(all_threads())
    assert not next(t for t in before if t.name == "SM 9/64-40").verified
    assert next(t for t in after if t.name == "SM 9/64-40").verified


@pytest.mark.parametrize("probability", [0.0, 0.04, 0.3, 0.7, 0.99, 1.0])
def test_words_never_claim_certainty(probability: float) -> None:
    assert table.likelihood_words(probability) in ("unlikely", "possible", "likely", "very likely")
