"""Mistakes planted in a small shop with every effect: what must be caught is, and nothing is said of what is right."""

from __future__ import annotations

from pathlib import Path

import pytest
from judging import MUST, SHOP, Ground, as_text, reviewed
from planting import written
from soonest import findings

from handwheel.checks.runner import run
from handwheel.records.step_records import EFFECTS

ROOT = Path(__file__).parents[2]
KEPT = Path(__file__).with_name("kept.txt")
SAMPLE, LARGE = 12, 2
"""Every so many of the mistakes that must be caught: in each run, and in the long one."""


@pytest.fixture(scope="module")
def ground() -> Ground:
    return Ground([SHOP])


def test_the_shop_is_sound_by_the_rules_and_on_each_machine_by_itself(ground: Ground) -> None:
    assert run(ground.library).findings == ()
    assert {trace.wrong for trace in ground.traces.values()} == {frozenset()}


@pytest.mark.parametrize("folders", [[SHOP], [ROOT / "content", ROOT / "demo_content"]], ids=["small", "demo"])
def test_a_shop_written_out_again_is_the_same_shop(folders: list[Path]) -> None:
    """Else all that is planted would be refused or found, whatever it is."""
    ground = Ground(folders, by_rules=True)
    again = ground.written({name: written(root) for name, root in ground.roots.items()})
    assert {kind: list(found) for kind, found in again.kinds.items()} == {
        kind: list(found) for kind, found in ground.library.kinds.items()
    }
    assert run(again).findings == ()


def test_the_shop_has_every_effect(ground: Ground) -> None:
    done = {effect.split()[0] for trace in ground.traces.values() for effect, _ in trace.done}
    assert done == set(EFFECTS)


def test_mistakes_of_every_kind_fit(ground: Ground) -> None:
    kinds = {mistake.kind for _, mistake in ground.mistakes}
    assert {f"drop effect {effect}" for effect in EFFECTS} <= kinds | {"drop effect stops"}
    operators = {"twice", "exchange", "negate", "widen", "narrow", "other id", "other number", "other state"}
    assert all(any(kind.startswith(operator) for kind in kinds) for operator in operators)
    assert len(ground.mistakes) > 1_000


def test_answers_are_those_that_were_reviewed(ground: Ground) -> None:
    """Renewed by `python bench/mutants.py --keep`; read the difference before it is taken in."""
    assert as_text(ground.kept) == KEPT.read_text("utf-8")


def test_a_part_in_front_that_is_left_out_changes_an_answer(ground: Ground) -> None:
    """No correct work touches what a `behind` forbids, so no rule can miss it."""
    dropped = [each for each in ground.mistakes if each[1].kind in ("drop key behind", "drop one behind")]
    assert len(dropped) == 5
    assert [each.where for name, each in dropped if not ground.answered_otherwise(ground.planted(name, each))] == []


def test_each_survivor_is_still_planted_and_none_of_them_must_be_caught(ground: Ground) -> None:
    planted = {(each.kind, each.where) for _, each in ground.mistakes}
    assert sorted(reviewed() - planted) == []
    assert [kind for kind, _ in reviewed() if MUST.match(kind)] == []


def test_cases_of_the_drive_exchanged_are_caught_since_a_crank_has_no_motor(ground: Ground) -> None:
    (one,) = (each for each in ground.mistakes if each[1].kind == "exchange cases" and "test.steps[1]" in each[1].where)
    assert "run-without-motor" in run(ground.planted(*one)).by_rule


def test_machines_that_cannot_be_told_are_told_of(ground: Ground) -> None:
    """The simulation cannot run then; the rules must say why instead of falling over."""
    (gap,) = (
        each for each in ground.mistakes if each[1].where == "features/supply.derived[1]" and "one" in each[1].kind
    )
    assert "alternatives-not-one" in run(ground.planted(*gap)).by_rule


def judged_every(ground: Ground, count: int) -> None:
    must = [each for each in ground.mistakes if MUST.match(each[1].kind)]
    judged = [ground.judge(*each) for each in must[::count]]
    assert [each for each in judged if each.failed] == []
    assert sum(each.verdict in ("caught", "refused") for each in judged) * 2 > len(judged)


def test_a_sample_of_what_must_be_caught_is(ground: Ground) -> None:
    judged_every(ground, SAMPLE)


@pytest.mark.long
def test_a_large_sample_of_what_must_be_caught_is(ground: Ground) -> None:
    judged_every(ground, LARGE)


def test_alternatives_in_words_only_make_no_difference_and_those_that_do_something_make_one() -> None:
    """Of the demo, where the rules judge alone: a fork without effects left out cannot change any machine."""
    ground = Ground([ROOT / "content", ROOT / "demo_content"], by_rules=True)
    words_only = [
        each for each in ground.mistakes if (each[1].kind, each[1].where) == ("drop by", "procedures/report.steps[4]")
    ]
    assert [ground.does_the_same(ground.planted(*each)) for each in words_only] == [True]
    dropped = next(each for each in ground.mistakes if each[1].kind == "drop effect lubricates")
    assert not ground.does_the_same(ground.planted(*dropped))


def test_what_is_told_soonest_is_told_where_all_rules_are_run(ground: Ground) -> None:
    must = [each for each in ground.mistakes if MUST.match(each[1].kind) and not each[1].kind.startswith("drop case")]
    for each in must[::24]:
        library = ground.planted(*each)
        soonest = {finding.rule for finding in findings(library, ground.library)}
        assert soonest & set(run(library).by_rule), "folded by cause, not all of them need be the same"
    assert findings(ground.library, ground.library) == ()
