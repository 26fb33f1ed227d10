"""Where hands meet something electrical: what the simulator takes for work on it carries the caution."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from making_shops import shops

from handwheel.procedures.hazards import cautions_of, natures_of
from handwheel.procedures.simulate.run import run_job
from handwheel.records.library import Library
from handwheel.records.step_records import Step
from shopkit import (
    FAMILY,
    agent,
    any_record,
    caution,
    fastener,
    job,
    oiling_point,
    part,
    procedure,
    setting,
    shop,
    step,
    variant,
)

SHOP = shop(
    variants=[variant("v1")],
    parts=[
        part("head", root=True),
        part("plate"),
        part("block", electrical=True),
        part("brushes", electrical=True, rests=True),
        part("arm", rests=True),
        part("lamp", inside="arm", electrical=True, rests=True),
    ],
    fasteners=[fastener("terminal", "block", kind="terminal"), fastener("shared-screw", ["plate", "block"])],
    settings=[setting("leads", "terminal"), setting("sides", "brushes"), setting("level", "plate")],
    oiling_points=[oiling_point("joint", "arm"), oiling_point("bush", "plate")],
    lubricants=[any_record("lubricants", "light-oil", name="light oil", form="oil")],
    agents=[agent("spirit", use="wipe")],
    cautions=[caution("mains", "danger", met_by=["electrical work"])],
)

DONE: list[dict[str, object]] = [
    {"sets": "leads"},
    {"sets": "sides"},
    {"marks": "leads"},
    {"marks": "sides"},
    {"loosens": "terminal"},
    {"tightens": "terminal"},
    {"undoes": "shared-screw"},
    {"removes": "plate"},
    {"fits": "plate"},
    {"lubricates": "joint"},
    {"tests_on": {"block": "spirit"}},
    {"renews": "brushes"},
]
"""Each with hands on something electrical."""


def named(done: dict[str, object]) -> str:
    """The same in every process."""
    return "-".join((*done, *map(str, done.values())))


@pytest.mark.parametrize("done", DONE, ids=named)
def test_hands_on_something_electrical_carry_the_caution(done: dict[str, object]) -> None:
    assert cautions_of(SHOP, step("Do it.", **done)) == ("mains",)


@pytest.mark.parametrize("done", [{"sets": "level"}, {"marks": "level"}, {"lubricates": "bush"}, {"disturbs": "leads"}])
def test_other_work_does_not(done: dict[str, object]) -> None:
    assert cautions_of(SHOP, step("Do it.", **done)) == ()


def live_work(done: dict[str, object], before: str = "") -> bool:
    """Whether the simulator tells live work of a step on a machine that is plugged in."""
    first = [step("Plug out.", isolates="mains")] if before == "isolated" else []
    work = procedure("work", *first, step("Do it.", id="it", **done))
    whole = job("job", "work")
    run = run_job(shop(*(each for kind in SHOP.kinds.values() for each in kind.values()), work, whole), FAMILY, "job")
    return "live-work" in {each.code for each in run.trace.violations}


@pytest.mark.parametrize("done", [each for each in DONE if "fits" not in each], ids=named)
def test_hands_on_something_electrical_are_live_work_until_the_plug_is_out(done: dict[str, object]) -> None:
    assert live_work(done)
    assert not live_work(done, "isolated")


@pytest.mark.parametrize("done", [{"sets": "level"}, {"marks": "level"}, {"lubricates": "bush"}], ids=named)
def test_hands_on_plain_iron_are_no_live_work(done: dict[str, object]) -> None:
    assert not live_work(done)


def _touches_all_that_the_head_carries(library: Library, done: Step) -> bool:
    """To the simulator hands on the head are on all that hangs there; a caution on each wipe would be noise."""
    roots = {each.id for each in library.parts.values() if each.root}
    oiled = {part for point in done.lubricates for part in library.oiling_points[point].between}
    return not roots.isdisjoint((*done.cleans, *done.tests_on, *done.heats, *done.renews, *oiled))


@given(shops())
@settings(deadline=None, max_examples=25, suppress_health_check=list(HealthCheck))
def test_whatever_step_is_live_work_is_told_as_electrical(library: Library) -> None:
    run = run_job(library, FAMILY, "job")
    live = {each.act for each in run.trace.violations if each.code == "live-work"}
    for done in run.trace.done:
        if done.ref in live and not _touches_all_that_the_head_carries(library, done.act.step):
            assert "electrical work" in natures_of(library, done.act.step)
