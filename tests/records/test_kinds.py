"""Records: made with keywords, never changed, equal where class and all that counts are."""

from __future__ import annotations

import dataclasses
import pickle

import pytest

from handwheel.records.places import Place
from handwheel.records.step_records import Step
from handwheel.records.values import Text

DO = Text("Undo it.", Place("a.yaml", 2, 3))


def test_what_is_left_out_gets_its_default_and_maps_are_not_shared() -> None:
    one, other = Step(do=DO), Step(do=DO)
    assert (one.undoes, one.people, one.cleans) == ((), 1, {})
    assert one.cleans is not other.cleans


def test_equal_where_all_that_counts_is() -> None:
    one, other = Step(id="a", do=DO, at={"do": Place("a.yaml", 1, 1)}), Step(id="a", do=DO)
    assert one == other and one != Step(id="b", do=DO) and one != DO
    assert dataclasses.replace(one, people=2) != one
    assert pickle.loads(pickle.dumps(one)) == one


def test_nothing_changes_and_no_key_is_made_up() -> None:
    one = Step(do=DO)
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.people = 2  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        del one.people
    with pytest.raises(TypeError, match="'does'"):
        Step(do=DO, does="x")  # type: ignore[call-arg]
