"""Random shops, random knowledge of a machine: the script shows to the letter what the resolver writes."""

from __future__ import annotations

import random
import shutil

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from making_shops import shops as mostly_wrong
from small_shops import shops

from found_cases import expected, impossible, shown, some_known
from handwheel.machines.conditions import ALWAYS
from handwheel.machines.machine import Known
from handwheel.pages.found_data import FamilyData
from handwheel.pages.here import Desk
from handwheel.pages.step_html import StepWriter
from handwheel.procedures.forks import Branch, Forks, Leaf, values_of
from handwheel.procedures.resolve import Resolver
from handwheel.records.library import Library
from shopkit import FAMILY, by, fastener, feature, part, procedure, shop, step, variant

needs_node = pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")
quick = settings(deadline=None, max_examples=12, suppress_health_check=list(HealthCheck))
thorough = settings(quick, max_examples=400)
either = st.one_of(shops(), mostly_wrong())


@pytest.fixture(autouse=True)
def no_hazards(monkeypatch: pytest.MonkeyPatch) -> None:
    """Random shops name lubricants that no library holds, so cautions are left to the demo's tests."""
    monkeypatch.setattr("handwheel.procedures.hazards._of_things", lambda library, step: iter(()))


def agrees(library: Library, seed: int) -> None:
    """Every procedure on some machines, known wholly, in part, not at all, or impossible."""
    desk = Desk(library)
    data = FamilyData(desk, FAMILY)
    assume(data.space.all)
    rng = random.Random(seed)
    known = [
        Known(),
        *(some_known(rng, data.space) for _ in range(12)),
        *(impossible(rng, data.space) for _ in range(4)),
    ]
    resolver, writer, procedures = Resolver(library, data.space), StepWriter(library), list(data.procedures)
    found = shown(data, known, [procedures] * len(known))
    assert len(found) == len(known)
    for each, made in zip(known, found, strict=True):
        assert made == expected(resolver, writer, data, each, procedures), each


@needs_node
@quick
@given(either, st.integers(0, 1000))
def test_script_and_resolver_agree_on_random_shops(library: Library, seed: int) -> None:
    agrees(library, seed)


@needs_node
@pytest.mark.long
@thorough
@given(either, st.integers(0, 1000))
def test_script_and_resolver_agree_on_hundreds_of_random_shops(library: Library, seed: int) -> None:
    agrees(library, seed)


@needs_node
def test_a_procedure_that_ends_early_on_some_machines() -> None:
    """Those on which the work stops come to no state after it, so nothing of that state is said of them."""
    library = stopping()
    data = FamilyData(Desk(library), FAMILY)
    hood, none = (Known(None, {"lamp": frozenset((form,))}) for form in ("hood", "none"))
    resolver, writer = Resolver(library, data.space), StepWriter(library)
    found = shown(data, [Known(), hood, none], [["cover"]] * 3)
    assert found == [expected(resolver, writer, data, each, ["cover"]) for each in (Known(), hood, none)]
    assert ["plate" in each[0]["leaves"] for each in found] == [True, False, True]


def stopping() -> Library:
    return shop(
        feature("lamp", "hood", "none", swapped="often"),
        variant("early", lamp="hood"),
        variant("late", lamp="none"),
        part("head", root=True),
        part("plate"),
        fastener("screw", "plate"),
        procedure(
            "cover",
            step("Take the plate off.", id="plate-off", removes="plate"),
            by("lamp", hood=[step("End here.", id="end", stops="beyond-us")], none=[]),
            step("Look.", id="look", marks=[]),
        ),
    )


def test_a_run_over_unknown_machines_has_every_outcome_and_no_other() -> None:
    forks = Forks()
    low, high = forks.among(0b0011), forks.among(0b1110)
    tree = forks.outcomes(0b1111, lambda: (bool(low), bool(high), low == high))
    assert set(values_of(tree)) == {(True, False, False), (False, True, False), (True, True, False), (True, True, True)}


def test_what_follows_from_answers_is_not_asked() -> None:
    """A machine stands in the whole; if it is not in one half it is in the other."""
    forks = Forks()
    tree = forks.outcomes(0b11, lambda: (bool(forks.among(0b01)), bool(forks.among(0b10)), bool(forks.among(0b11))))
    assert isinstance(tree, Branch) and tree.test == 0b01
    assert tree.no == Leaf((False, True, True))


def test_outcomes_that_are_the_same_are_one() -> None:
    forks = Forks()
    assert forks.outcomes(0b11, lambda: bool(forks.among(0b01)) and False) == Leaf(False)
    assert forks.outcomes(0b11, lambda: ALWAYS) == Leaf(ALWAYS)
