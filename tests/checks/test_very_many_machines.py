"""A family of thousands of millions of machines is checked, every machine of it, in areas; what is too much is told."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from handwheel.checks.bench import Bench
from handwheel.checks.registry import rules_by_id
from handwheel.checks.report import Extent, Report
from handwheel.checks.runner import judge
from handwheel.machines.conditions import Is
from handwheel.procedures.simulate.run import run_in_areas
from handwheel.records.library import Library
from shopkit import FAMILY, by, fastener, feature, job, one_of, part, procedure, shop, step, under, variant

PIECES = 15
FORMS = ("plain", "round", "square", "none")
THERE = FORMS[:3]


def many(forgotten: Sequence[tuple[int, str]] = (), *more: object) -> Library:
    """A piece may be of three forms or none, on each of three variants; each is taken off and put back by its form."""
    numbers = range(PIECES)
    features = [feature(f"form-{n}", *FORMS, swapped="often", carried_by=f"piece-{n}") for n in numbers]
    made = {f"form-{n}": FORMS for n in numbers}
    parts = [part(f"piece-{n}", when={f"form-{n}": list(THERE)}, sews=False) for n in numbers]
    off = [by(f"form-{n}", **_arms(n, "removes"), none=[]) for n in numbers]
    back = [by(f"form-{n}", **_arms(n, "fits", forgotten), none=[]) for n in numbers]
    steps = [each for node in more for each in (node if isinstance(node, list) else [node])]
    return shop(
        *features,
        *(variant(name, **made) for name in ("first", "second", "third")),
        part("head", root=True),
        *parts,
        *(fastener(f"screw-{n}", f"piece-{n}") for n in numbers),
        procedure("off", *off),
        procedure("back", *back, *steps),
        procedure("end", step("Hand it over.", hands_over=True)),
        job("all", "off", "back", "end", start="in-order"),
    )


def _arms(n: int, effect: str, forgotten: Sequence[tuple[int, str]] = ()) -> dict[str, list[object]]:
    return {
        form: [] if (n, form) in forgotten else [step("Do it.", id=f"{effect}-{n}-{form}", **{effect: f"piece-{n}"})]
        for form in THERE
    }


def judged(library: Library, *rules: str) -> Report:
    return judge(Bench(library), [rules_by_id()[each] for each in rules])


def test_without_a_mistake_nothing_is_found_and_all_machines_are_counted() -> None:
    report = judged(many(), "left-off", "impossible-order", "machines-not-told")
    assert not report.findings
    assert report.extents == (Extent("Dipper", 3 * len(FORMS) ** PIECES, report.extents[0].areas),)
    assert report.extents[0].machines > 10**9 and report.extents[0].areas > 1
    assert report.extents[0].words == f"proven on 3,221,225,472 machines, in {report.extents[0].areas} areas"


@pytest.mark.parametrize("place", [0, 7, PIECES - 1])
def test_a_mistake_planted_in_one_area_is_found_there_and_only_there(place: int) -> None:
    report = judged(many([(place, "round")]), "left-off", "impossible-order", "machines-not-told")
    (finding,) = report.findings
    assert finding.rule == "left-off"
    assert f"piece-{place}" in finding.what.replace(" ", "-")
    assert finding.machines == f"form {place} round"


def test_a_mistake_of_two_pieces_together_is_found_on_just_those_machines() -> None:
    again = step("Put it on.", when={"form-2": "plain", "form-9": "square"}, fits="piece-2")
    runs, beyond = run_in_areas(many([], again), FAMILY, "all")
    assert not beyond
    told = {(each.code, each.subject): (run.space, each.machines) for run in runs for each in run.trace.violations}
    (space, machines) = told.pop(("fitted-twice", ("parts", "piece-2")))
    assert not told
    both = space.mask(Is("form-2", frozenset(("plain",)))) & space.mask(Is("form-9", frozenset(("square",))))
    assert machines == both


def test_what_hangs_together_by_too_many_features_is_told_and_the_rest_is_proven() -> None:
    clear = {f"form-{n}": "plain" for n in range(PIECES)}
    knot = one_of(under(clear, step("Do it.")), under({"not": clear}, step("Do that.")))
    report = judged(many([(3, "square")], knot), "left-off", "machines-not-told")
    told = {finding.rule: finding for finding in report.findings}
    assert told.keys() == {"left-off", "machines-not-told"}
    assert told["left-off"].machines == "form 3 square"
    what = told["machines-not-told"].what
    assert "job 'all': at least 3,221,225,472 machines would have to be told apart at once" in what
    assert "form-0, form-1" in what and f"and {PIECES - 8} more" in what
    assert not report.extents[0].whole
