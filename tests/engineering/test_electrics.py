"""Electrical readings: the rules that nothing may soften."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.electric_limits import ApplianceClass, Lead, Quantity, limits_for
from handwheel.engineering.electrics import (
    CAUTION,
    DEFERRAL,
    Construction,
    Fault,
    Looks,
    Reading,
    Verdict,
    class_of,
    hold,
    judge,
)
from handwheel.engineering.ranges import OutOfRange

CLEAN = Looks(True)
EARTHED, DOUBLE = Construction(True, 3), Construction(False, 2, double_square=True)
LEAD = Lead(2.0, 0.05)


def earth(ohm: float, error: float = 0.0) -> Reading:
    return Reading(Quantity.EARTH_BOND, ohm, error)


def insulation(megohm: float, volts: float = 500.0) -> Reading:
    return Reading(Quantity.INSULATION, megohm * 1e6, 0.0, volts)


readings = st.lists(
    st.one_of(
        st.builds(earth, st.floats(0, 5), st.floats(0, 0.5)),
        st.builds(insulation, st.floats(0, 1000), st.sampled_from([250.0, 500.0])),
        st.builds(Reading, st.just(Quantity.LEAKAGE), st.floats(0, 0.01)),
    ),
    max_size=6,
)
constructions = st.builds(Construction, st.booleans(), st.sampled_from([0, 2, 3]), st.booleans(), st.booleans())
looks = st.builds(Looks, st.booleans(), st.frozensets(st.sampled_from(Fault)))
leads = st.builds(Lead, st.floats(0.1, 60), st.none() | st.floats(0, 2))


@given(st.booleans(), st.booleans(), looks, readings, leads)
def test_a_metal_body_on_two_cores_belongs_to_no_class_and_is_never_within(
    square: bool, third: bool, seen: Looks, found: list[Reading], lead: Lead
) -> None:
    bare = Construction(True, 2, square, third)
    assert class_of(bare).appliance is None
    assert judge(bare, seen, found, lead).verdict in (Verdict.NO_CLASS, Verdict.FAILS)


@given(constructions, st.booleans(), st.frozensets(st.sampled_from(Fault), min_size=1), readings, leads)
def test_no_reading_lifts_a_fail_by_looks(
    construction: Construction, complete: bool, faults: frozenset[Fault], found: list[Reading], lead: Lead
) -> None:
    assert judge(construction, Looks(complete, faults), found, lead).verdict is Verdict.FAILS


@given(constructions, looks, readings, leads)
def test_every_word_printed_cautions_defers_and_clears_nothing(
    construction: Construction, seen: Looks, found: list[Reading], lead: Lead
) -> None:
    words = judge(construction, seen, found, lead).words
    assert words.endswith(f"{CAUTION} {DEFERRAL}")
    assert "safe" not in words.lower()
    assert "pass" not in words.lower()


@given(constructions, looks, readings, leads, st.floats(0, 0.05), st.floats(3.6, 900))
def test_one_more_reading_never_betters_a_fail(
    construction: Construction, seen: Looks, found: list[Reading], lead: Lead, ohm: float, megohm: float
) -> None:
    if judge(construction, seen, found, lead).verdict is Verdict.FAILS:
        more = [*found, earth(ohm), insulation(megohm)]
        assert judge(construction, seen, more, lead).verdict is Verdict.FAILS


@pytest.mark.parametrize(
    ("construction", "found", "verdict"),
    [
        (EARTHED, [earth(0.12), insulation(50)], Verdict.WITHIN),
        (EARTHED, [earth(0.16), insulation(50)], Verdict.FAILS),  # 0.1 + 0.05 ohm, IET Code
        (EARTHED, [earth(0.14, 0.02), insulation(50)], Verdict.UNDECIDED),
        (EARTHED, [earth(0.12), insulation(0.9)], Verdict.FAILS),  # 1 Mohm, all codes
        (EARTHED, [earth(0.12), insulation(50, 250)], Verdict.UNDECIDED),
        (EARTHED, [insulation(50)], Verdict.MISSING),
        (EARTHED, [], Verdict.MISSING),
        (DOUBLE, [insulation(2.0)], Verdict.WITHIN),
        (DOUBLE, [insulation(1.9)], Verdict.FAILS),  # 2 Mohm, IET Code and DIN VDE 0701-0702
        (DOUBLE, [insulation(50), Reading(Quantity.LEAKAGE, 0.3e-3)], Verdict.FAILS),  # 0.25 mA, IET Code
        (DOUBLE, [insulation(50), earth(0.05)], Verdict.UNDECIDED),  # no code bonds a Class II body
        (Construction(False, 0, class_three_mark=True), [insulation(0.25)], Verdict.WITHIN),
    ],
)
def test_the_strictest_seen_limit_governs(construction: Construction, found: list[Reading], verdict: Verdict) -> None:
    assert judge(construction, CLEAN, found, LEAD).verdict is verdict


def test_the_lead_must_be_known_for_the_strictest_limit() -> None:
    judged = judge(EARTHED, CLEAN, [earth(0.05), insulation(50)], Lead(2.0))
    assert judged.verdict is Verdict.UNDECIDED
    assert "earth core not known" in judged.words


def test_the_look_comes_first() -> None:
    assert judge(EARTHED, Looks(False), [earth(0.05), insulation(50)], LEAD).verdict is Verdict.LOOK_FIRST


@pytest.mark.parametrize(
    ("construction", "appliance"),
    [
        (EARTHED, ApplianceClass.ONE),
        (Construction(False, 3), ApplianceClass.ONE),
        (DOUBLE, ApplianceClass.TWO),
        (Construction(False, 2), None),  # no mark: nothing is assumed
        (Construction(True, 3, double_square=True), None),
        (Construction(False, 2, True, True), None),
        (Construction(False, 0, class_three_mark=True), ApplianceClass.THREE),
        (Construction(True, 0), None),
    ],
)
def test_classes(construction: Construction, appliance: ApplianceClass | None) -> None:
    assert class_of(construction).appliance is appliance


def test_memory_forbids_and_never_permits() -> None:
    """EN 50678 / 50699: the insulation figures are from memory."""
    remembered = [
        limit
        for limit in limits_for(Quantity.INSULATION, ApplianceClass.ONE, LEAD)
        if not limit.basis.standing.may_permit
    ]
    assert remembered
    for limit in remembered:
        assert hold(insulation(0.5), limit) is Verdict.FAILS
        assert hold(insulation(999), limit) is Verdict.UNDECIDED


def test_bad_input_is_refused() -> None:
    with pytest.raises(OutOfRange, match="earth bond reading"):
        earth(-0.1)
    with pytest.raises(OutOfRange, match="insulation reading"):
        insulation(float("nan"))
    with pytest.raises(ValueError, match="4 cores"):
        Construction(True, 4)
    with pytest.raises(OutOfRange, match="length of the lead"):
        Lead(-2.0)
    with pytest.raises(ValueError, match="cannot meet a limit for earth bond"):
        hold(insulation(5), limits_for(Quantity.EARTH_BOND, ApplianceClass.ONE, LEAD)[0])


@pytest.mark.parametrize(
    ("found", "verdict"),
    [
        (Reading(Quantity.INSULATION, 0.8e6, 0.1e6, 500), Verdict.FAILS),
        (Reading(Quantity.INSULATION, 0.95e6, 0.1e6, 500), Verdict.UNDECIDED),
        (Reading(Quantity.INSULATION, 1.05e6, 0.1e6, 500), Verdict.UNDECIDED),
        (Reading(Quantity.INSULATION, 1.1e6, 0.1e6, 500), Verdict.WITHIN),
        (Reading(Quantity.LEAKAGE, 0.9e-3, 0.1e-3), Verdict.FAILS),
        (Reading(Quantity.LEAKAGE, 0.8e-3, 0.1e-3), Verdict.UNDECIDED),
        (Reading(Quantity.LEAKAGE, 0.6e-3, 0.1e-3), Verdict.WITHIN),
    ],
)
def test_the_error_of_the_instrument_counts_against_the_machine(found: Reading, verdict: Verdict) -> None:
    """IET Code, Class I: 1 Mohm, 0.75 mA. Guard band equal to the error, in both directions."""
    limit = limits_for(found.quantity, ApplianceClass.ONE, LEAD)[0]
    assert hold(found, limit) is verdict
