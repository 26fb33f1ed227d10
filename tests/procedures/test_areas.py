"""A run in areas tells of each machine what the whole run tells, and reaches where no whole run can."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from making_shops import shops
from two_shops import pairs

from handwheel.machines.masks import bits
from handwheel.machines.space import Space
from handwheel.procedures.simulate.run import Run, run_in_areas, run_job, run_procedure
from handwheel.records.families import family_of
from handwheel.records.library import Library
from shopkit import FAMILY, fastener, feature, job, oiling_point, part, procedure, reach, setting, shop, step, variant

quick = settings(deadline=None, max_examples=25, suppress_health_check=list(HealthCheck))


@pytest.fixture(autouse=True)
def own_spaces(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each run with the features only that it says it needs."""
    monkeypatch.setattr("handwheel.procedures.simulate.run.FEW", 0)


def told_by(runs: tuple[Run, ...], everything: Space) -> dict[tuple[object, ...], int]:
    """What the runs tell, each with the machines of all that can stand here."""
    found: dict[tuple[object, ...], int] = {}
    for run in runs:
        place = [(1 << bit, 1 << run.space.bit_of(everything.machine(bit))) for bit in bits(everything.all)]
        for each in run.trace.violations:
            anchor = each.act.anchor if each.act else ""
            key = (each.code, each.position, each.place, anchor, each.subject, each.about)
            found[key] = found.get(key, 0) | sum(there for there, here in place if each.machines & here)
    return found


def agree(library: Library, whole: Run, parts: tuple[Run, ...]) -> None:
    everything = Space(family_of(library, FAMILY))
    assert told_by(parts, everything) == told_by((whole,), everything)


@given(pairs())
@quick
def test_areas_of_two_shops_under_one_roof_tell_what_the_whole_job_tells(library: Library) -> None:
    one_roof(library)


@pytest.mark.long
@given(pairs())
@settings(quick, max_examples=1_000)
def test_areas_of_hundreds_of_pairs_of_shops_tell_what_the_whole_job_tells(library: Library) -> None:
    one_roof(library)


def one_roof(library: Library) -> None:
    parts, beyond = run_in_areas(library, FAMILY, "job", enough=None)
    assert not beyond
    agree(library, run_job(library, FAMILY, "job"), parts)


@given(shops())
@quick
def test_areas_tell_of_each_machine_what_the_whole_job_tells(library: Library) -> None:
    parts, beyond = run_in_areas(library, FAMILY, "job", enough=None)
    assert not beyond
    agree(library, run_job(library, FAMILY, "job"), parts)


@given(shops())
@quick
def test_areas_tell_of_each_machine_what_a_procedure_alone_tells(library: Library) -> None:
    for name in ("one", "run"):
        parts, beyond = run_in_areas(library, FAMILY, "", procedure=name, enough=None)
        assert not beyond
        agree(library, run_procedure(library, FAMILY, name), parts)


def neglected_and_reached() -> Library:
    """Two lifts look at whatever reaching the lamp may move: also at a setting whose feature neither of them asks."""
    return shop(
        features=[feature("lamp", "bracket", "stalk"), feature("winder", "geared", "friction", "none")],
        variants=[variant("v1", lamp=("bracket", "stalk"), winder=("geared", "friction", "none"))],
        parts=[part("head", root=True), part("lamp"), part("base"), part("winder")],
        fasteners=[fastener("lamp-screw", "lamp"), fastener("winder-screw", "winder")],
        settings=[setting("throw", "lamp-screw"), setting("drive", "winder-screw", when={"winder": "friction"})],
        oiling_points=[oiling_point("winder-bearing", "winder", when={"winder": "geared"})],
        procedures=[
            procedure("reached", reach("lamp", step("Set the throw.", sets="throw", when={"lamp": "stalk"}))),
            procedure("lifted", step("Lift the lamp.", lifts="lamp"), step("Lift the base.", lifts="base")),
            procedure("end", step("Hand it over.", hands_over=True)),
        ],
        jobs=[job("job", "reached", "lifted", "end", start="neglected")],
    )


def test_a_neglected_machine_of_an_area_keeps_what_its_settings_in_disorder_hang_on() -> None:
    library = neglected_and_reached()
    whole = run_job(library, FAMILY, "job")
    assert {("not-set-again", ("settings", "drive")), ("not-oiled", ("oiling_points", "winder-bearing"))} <= {
        (each.code, each.subject) for each in whole.trace.violations
    }
    one_roof(library)


def test_oiling_a_part_looks_at_what_is_electrical_on_it() -> None:
    """The lamp hangs on the bracket that is oiled; only some brackets have one, and the step does not ask which."""
    library = shop(
        features=[feature("lamp", "hood", "none")],
        variants=[variant("v1", lamp=("hood", "none"))],
        parts=[
            part("head", root=True),
            part("bracket", rests=True),
            part("arm", inside="bracket", rests=True),
            part("lamp", inside="arm", electrical=True, rests=True, when={"lamp": "hood"}),
        ],
        oiling_points=[oiling_point("joint", "bracket")],
        procedures=[
            procedure("off", step("Take the arm off.", removes="arm")),
            procedure("oiled", step("Oil the joint.", lubricates="joint")),
            procedure("end", step("Fit it.", fits="arm"), step("Hand it over.", hands_over=True)),
        ],
        jobs=[job("early", "oiled", "end"), job("job", "off", "oiled", "end")],
    )
    early = run_job(library, FAMILY, "early").trace.violations
    assert "lamp" in {each.subject[1] for each in early if each.code == "live-work" and each.position == 0}
    later = run_job(library, FAMILY, "job").trace.violations
    assert {each.position for each in later if each.code == "live-work"} == {0, 2}
    one_roof(library)
