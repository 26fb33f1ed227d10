"""The demo's invented figures against what is usual in the trade, so that none of them teaches nonsense.

Ranges are common practice or from memory unless a source stands beside them: they may warn and permit nothing, which is
why they are here and not among the limits. The demo's own figures are invented and may lie anywhere inside.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from handwheel.engineering.tightening import rim_force
from handwheel.evidence.screws import HANDLE, WITH_HEAD, screws_of, window_of
from handwheel.evidence.standing import Standing, of_citations
from handwheel.evidence.threads import thread_of
from handwheel.records.library import Library
from handwheel.records.values import Amount, Varies

TARGETS = {
    "hook-timing": (
        1.8,
        2.8,
    ),  # needle rise; NAVEDTRA 14218, ch. 9: 1/10 in = 2.54 mm; the spread is practice
    "hook-gap": (0.05, 0.15),  # common practice
    "finger-gap": (0.4, 0.8),  # from memory
    "feed-height": (0.7, 1.2),  # NAVEDTRA 14218, ch. 9: the full tooth; millimetres are common practice
    "foot-height": (5.0, 8.0),  # common practice
    "throw": (5.0, 9.0),  # NAVEDTRA 14218, ch. 9: 1/4 in = 6.4 mm; the spread is from memory
    "stitch-length": (1.5, 4.0),  # common practice
    "belt-slack": (6.0, 12.0),  # from memory; no published rule for light belts was found
    "crank-mesh": (0.1, 0.2),  # from memory
}
"""Setting -> usual range of its target [mm]."""

CUTS = {
    "under-thread": (0.15, 0.40),  # 15 to 40 gf, from memory
    "pull": (0.49, 1.47),  # 50 to 150 gf, from memory
    "presser-force": (10.0, 35.0),  # from memory
    "bobbin-fill": (0.3, 1.5),  # 80 to 95 % full, from memory
    "twenty-stitches": (45.0, 55.2),  # 2.5 mm give or take a tenth, common practice
    "back-stitch": (45.0, 55.2),
}
"""Reading -> usual range of its cuts, in its own unit."""

MASSES = {
    "base": (1.5, 5.0), "motor": (1.0, 2.5), "crank": (0.7, 1.4), "controller": (0.2, 1.2), "lamp": (0.2, 0.5),
    "winder": (0.1, 0.4), "hand-wheel": (0.6, 1.6),
}  # fmt: skip
"""Part -> usual mass [kg], from memory."""

HEADS = {"iron": (8.0, 15.0), "aluminium": (4.5, 9.0)}
"""Casting -> usual mass of a bare head [kg], from memory."""

POCKET_GUIDE = {1.6: 0.086, 2.0: 0.17, 2.5: 0.35, 3.0: 0.61, 3.5: 0.97, 4.0: 1.40, 5.0: 2.95, 6.0: 4.90}
"""Diameter [mm] -> tightening torque of class 4.8 [N m], a tool maker's pocket guide 'according to ISO 898/1'."""


def figures(value: Varies[str] | None) -> Iterator[float]:
    for text in value.values if value else ():
        found = re.fullmatch(r"(\d+(?:\.\d+)?) mm", text)
        if found:
            yield float(found[1])


def amounts(value: Varies[Amount] | None) -> list[float]:
    return [each.value for each in value.values if each.value is not None] if value else []


def cuts_of(demo: Library, name: str) -> list[float]:
    return [each.value for case in demo.readings[name].cuts.values for each in case]


def test_each_target_is_usual(demo: Library) -> None:
    told = {each.id: list(figures(each.target)) for each in demo.settings.values()}
    assert set(TARGETS) == {name for name, values in told.items() if values}
    odd = {n: v for n, values in told.items() for v in values if not TARGETS[n][0] <= v <= TARGETS[n][1]}
    assert odd == {}


@pytest.mark.parametrize("name", CUTS)
def test_each_cut_is_usual(demo: Library, name: str) -> None:
    low, high = CUTS[name]
    cuts = cuts_of(demo, name)
    assert cuts
    assert all(low <= each <= high for each in cuts)


def test_electrical_cuts_are_never_milder_than_the_codes(demo: Library) -> None:
    """IET Code as test contractors state it: 0.1 ohm and two metres of lead (0.026 ohm/m); 2 Mohm class II."""
    worst = {
        name: [each.value for case in demo.readings[name].cuts.values for each in case]
        for name in ("bond", "insulation")
    }
    assert max(worst["bond"]) <= 0.1 + 2 * 0.026 + 1e-9
    assert min(worst["insulation"]) >= 2.0


@pytest.mark.parametrize("name", MASSES)
def test_each_mass_is_usual(demo: Library, name: str) -> None:
    found = amounts(demo.parts[name].mass)
    assert found
    assert all(MASSES[name][0] <= each <= MASSES[name][1] for each in found)


def test_each_head_is_as_heavy_as_its_metal(demo: Library) -> None:
    for variant in demo.variants.values():
        (metal,) = variant.features["casting"]
        assert variant.mass is not None
        assert variant.mass.value is not None
        low, high = HEADS[metal]
        assert low <= variant.mass.value <= high, variant.id


def test_no_screw_is_tightened_like_a_new_one_in_steel(demo: Library) -> None:
    """Old slotted screws in old castings: at most what the guide has for the next smaller metric size of class 4.8.

    At the rim of a 28 mm handle that is what a fist does, 5 to 200 N (common practice).
    """
    judged = 0
    for fastener in demo.fasteners.values():
        for case in fastener.thread.cases if fastener.thread else ():
            thread = thread_of(demo, demo.threads[case.value])
            assert thread is not None
            size = max(each for each in POCKET_GUIDE if each <= thread.diameter * 1e3)
            for torque in amounts(fastener.tighten):
                judged += 1
                assert torque <= POCKET_GUIDE[size], fastener.id
                assert 5 <= rim_force(torque, HANDLE) <= 200, fastener.id
    assert judged > 25


def test_no_torque_comes_within_its_own_scatter_of_what_gives_way(demo: Library) -> None:
    """The shop's torques scatter by 15 per cent: 1.15 times each stays below the first limit of its window."""
    judged = 0
    for fastener in demo.fasteners.values():
        for screw in screws_of(demo, fastener) or ():
            if screw.tighten is None or screw.tighten.value is None or fastener.kind not in WITH_HEAD:
                continue
            judged += 1
            assert 1.15 * screw.tighten.value <= window_of(demo, screw).high, fastener.id
    assert judged > 25


def test_aluminium_is_never_tightened_like_iron(demo: Library) -> None:
    told = {each.id: each.tighten for each in demo.fasteners.values() if each.tighten and each.tighten.by == "casting"}
    assert len(told) >= 2
    for name, value in told.items():
        iron, aluminium = (case.value.value for case in value.cases)
        assert iron is not None
        assert aluminium is not None
        assert aluminium <= 0.7 * iron, name


def test_a_torque_in_figures_was_measured_and_not_remembered(demo: Library) -> None:
    """Memory and common practice may lower a limit and never permit: a torque permits, so it rests on a measurement."""
    for fastener in demo.fasteners.values():
        if amounts(fastener.tighten):
            assert of_citations(demo, (fastener.source,)) is Standing.MEASURED, fastener.id
            assert fastener.source is not None
            assert "torque" in demo.sources[fastener.source.source].instrument, fastener.id


def test_each_record_with_a_figure_names_a_source(demo: Library) -> None:
    kinds = ("parts", "fasteners", "settings", "readings", "limits", "oiling_points", "variants", "findings")
    silent = [
        f"{kind}/{record.id}"
        for kind in kinds
        for record in demo.of(kind).values()
        if not (getattr(record, "source", None) or getattr(record, "sources", ()))
    ]
    assert silent == []
