"""Answers put into conditions mean what they say."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.machines.conditions import ALWAYS, NEVER, All, Any, Is, Not, OfVariant, questions_of
from handwheel.machines.errors import Unanswered
from handwheel.machines.questions import Family, Feature, Variant
from handwheel.machines.reduce import conjunction, said_once
from handwheel.machines.space import Space
from machines.enumeration import every_machine, holds
from machines.making import conditions, families, law, questions, variants

ASKED = {"wick": ("soft", "hard"), "pull": ("slack", "right", "tight")}


@law
@given(families(), st.data())
def test_answers_to_findings_leave_features_only(family: Family, data: st.DataObject) -> None:
    condition = data.draw(conditions(questions(family) | ASKED, variants(family)))
    answers = {question: data.draw(st.sampled_from(states)) for question, states in ASKED.items()}
    space = Space(family)
    left = space.partial(condition, answers)
    assert questions_of(left) <= set(space.questions)
    wider = Family(family.id, family.variants, (*family.features, *(Feature(q, s) for q, s in ASKED.items())))
    expected = [m for m in every_machine(family) if holds(wider, condition, m | answers)]
    assert len(expected) == space.count(space.mask(left))


@law
@given(families(), st.data())
def test_a_feature_changed_by_work_is_followed_through_what_rests_on_it(family: Family, data: st.DataObject) -> None:
    condition = data.draw(conditions(questions(family), variants(family)))
    changed = data.draw(st.sampled_from([feature for feature in family.features if not feature.derived]))
    answer = data.draw(st.sampled_from(changed.forms))
    space = Space(family)
    left = space.partial(condition, {changed.id: answer})
    expected = [m for m in every_machine(family) if holds(family, condition, m | {changed.id: answer})]
    assert len(expected) == space.count(space.mask(left))


@law
@given(families(), st.data())
def test_said_once_it_means_the_same(family: Family, data: st.DataObject) -> None:
    parts = data.draw(st.lists(conditions(questions(family), variants(family)), max_size=4))
    condition = conjunction(parts)
    every = [each.id for each in family.variants] if data.draw(st.booleans()) else []
    once = said_once(condition, every)
    space = Space(family)
    assert space.mask(once) == space.mask(condition)
    asked = [part.question for part in once.parts if isinstance(part, Is)] if isinstance(once, All) else []
    assert len(asked) == len(set(asked)) or once == condition


LAMP = Feature("lamp", ("bracket", "stalk"), swapped="often")
SPACE = Space(Family("f", (Variant("v"),), (LAMP,)))
SOFT, STALK = Is("wick", frozenset({"soft"})), Is("lamp", frozenset({"stalk"}))


def test_forms_asked_for_twice_are_said_once() -> None:
    either, hood = Is("lamp", frozenset({"hood", "link"})), Is("lamp", frozenset({"hood"}))
    built = OfVariant(frozenset({"v", "w"}))
    assert said_once(All((either, SOFT, hood))) == All((hood, SOFT))
    assert said_once(All((either, built, hood)), ["v", "w"]) == hood
    assert said_once(All((either, built)), ["v", "w", "x"]) == All((either, built))
    assert said_once(built, ["v", "w"]) == ALWAYS
    assert said_once(All((hood, STALK))) == All((hood, STALK))


def test_read_before_answered() -> None:
    with pytest.raises(Unanswered, match="'wick' is read before it is answered"):
        SPACE.partial(All((STALK, SOFT)), {})


def test_what_is_open_counts_as_its_worst() -> None:
    assert SPACE.partial(SOFT, {}, {"wick": "hard"}) == NEVER
    assert SPACE.partial(SOFT, {"wick": "soft"}, {"wick": "hard"}) == ALWAYS


def test_the_shortest_form() -> None:
    soft = {"wick": "soft"}
    assert SPACE.partial(All((STALK, SOFT)), soft) == STALK
    assert SPACE.partial(Any((STALK, Not(SOFT))), soft) == STALK
    assert SPACE.partial(Any((STALK, SOFT)), soft) == ALWAYS
    assert SPACE.partial(Not(Not(STALK)), soft) == STALK
    assert SPACE.partial(All((STALK, All((STALK, SOFT)))), soft) == STALK
