"""Lamps, loads and what carries them, on every machine of a small shop; worked by hand beside it."""

from __future__ import annotations

import dataclasses

import pytest

from handwheel.checks.loads import carriers, lamps_judged, loads_judged
from handwheel.checks.machines import Machines
from handwheel.engineering.lamps import Fit
from handwheel.evidence.electrics import arithmetic, basis_of, load_of, over, volts_of
from handwheel.machines.conditions import OfVariant
from handwheel.records.library import Library
from handwheel.records.values import Amount, Varies


@pytest.fixture(scope="module")
def machines(demo: Library) -> Machines:
    return Machines(demo)


def changed(library: Library, part: str, **values: object) -> Library:
    record = dataclasses.replace(library.parts[part], **values)  # type: ignore[arg-type]
    return dataclasses.replace(library, kinds={**library.kinds, "parts": {**library.parts, part: record}})


def scaled(value: Varies[Amount] | None, factor: float) -> Varies[Amount]:
    assert value is not None
    cases = tuple(
        dataclasses.replace(
            c, value=dataclasses.replace(c.value, value=c.value.value * factor if c.value.value else None)
        )
        for c in value.cases
    )
    return dataclasses.replace(value, cases=cases)


def test_the_total_of_one_machine(demo: Library, machines: Machines) -> None:
    """Motor 70 W, 0.42 A marked; lamp 15 W / 230 V = 0.0652 A: 85 W and 0.485 A."""
    found = list(loads_judged(demo, machines, OfVariant(frozenset(("skerry-14",)))))
    most = max((each for each in found if each.load), key=lambda each: each.load.watts if each.load else 0)
    assert most.load is not None
    assert (most.load.watts, round(most.load.amps, 3)) == (85.0, 0.485)
    assert list(arithmetic(most.taking, 230.0)) == [
        "motor: 70 W / 230 V = 0.304 A and 0.42 A marked, of which the greater counts",
        "lamp bulb: 15 W / 230 V = 0.0652 A",
    ]


def test_every_load_is_met_once_for_each_machine_that_has_it(demo: Library, machines: Machines) -> None:
    """Each lamp with each drive: no machine is told twice, and none that takes current is left out."""
    told = [(each.machines, tuple(taking.words for taking in each.taking)) for each in loads_judged(demo, machines)]
    assert len(told) == len(set(told))
    words = {word for _, taking in told for word in taking}
    assert {
        "motor 60 W, 0.36 A",
        "motor 70 W, 0.42 A",
        "motor 55 W, 0.33 A",
        "lamp bulb 15 W",
        "lamp bulb 2.5 W",
    } == words


def test_a_lamp_with_its_own_plug_does_not_go_through_the_block(demo: Library, machines: Machines) -> None:
    for each in loads_judged(demo, machines, carrier=demo.parts["block"]):
        if "clamp" in each.machines:
            assert [taking.part.id for taking in each.taking] == ["motor"]


@pytest.mark.parametrize(("factor", "expected"), [(1.0, set()), (1.7, {Fit.OVER})])
def test_a_lamp_stronger_than_its_holder(demo: Library, factor: float, expected: set[Fit]) -> None:
    library = changed(demo, "bulb", watts=scaled(demo.parts["bulb"].watts, factor))
    found = list(lamps_judged(library, Machines(library)))
    assert {each.told.fit for each in found if over(each.told)} == expected
    assert all("Local codes decide" in each.told.words for each in found)
    assert all("safe" not in each.told.words for each in found)


def test_a_holder_without_a_mark_is_never_passed(demo: Library, machines: Machines) -> None:
    unmarked = [
        each for each in lamps_judged(demo, machines) if each.marked.holder_watts and not each.marked.holder_watts.value
    ]
    assert unmarked
    assert {each.told.fit for each in unmarked} == {Fit.UNKNOWN}


@pytest.mark.parametrize("source", ["from-memory", "common-practice", "conservators-list"])
def test_a_marking_that_nobody_read_passes_nothing(demo: Library, source: str) -> None:
    """From memory, by practice, or told by another restorer."""
    cite = dataclasses.replace(demo.parts["lamp"].sources[0], source=source, at="")
    library = changed(demo, "lamp", sources=(cite,))
    assert not basis_of(library, library.parts["lamp"]).standing.may_permit
    assert {each.told.fit for each in lamps_judged(library, Machines(library))} == {Fit.UNKNOWN}


def test_each_carrier_twice_too_weak(demo: Library) -> None:
    for part in carriers(demo):
        library = changed(demo, part.id, carries=scaled(part.carries, 0.1))
        machines = Machines(library)
        fits = {
            t.fit
            for e in loads_judged(library, machines, carrier=library.parts[part.id])
            if e.load
            for _, t in e.load.against
        }
        assert Fit.OVER in fits


def test_without_mains_the_lowest_voltage_marked_counts(demo: Library, machines: Machines) -> None:
    """It gives the most current: 70 W at 220 V take 0.318 A."""
    shop = dataclasses.replace(demo.shop, mains=None)  # type: ignore[type-var]
    library = dataclasses.replace(demo, kinds={**demo.kinds, "shops": {"only": shop}})  # type: ignore[dict-item]
    taking = next(each.taking for each in loads_judged(library, machines) if len(each.taking) == 2)
    assert volts_of(library, taking) == 220.0
    assert volts_of(demo, taking) == 230.0
    load = load_of(library, [dataclasses.replace(taking[0], amps=None)])
    assert load is not None
    assert load.amps == pytest.approx(load.watts / 220)
