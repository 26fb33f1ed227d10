from __future__ import annotations

import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as some

from handwheel.procedures.expand import expand
from handwheel.procedures.ids import equal_ids, slug, step_id, with_anchors
from handwheel.records.step_records import Step
from shopkit import by, procedure, shop, step, varies

PARTS = ["lamp", "plate", "spring", "nut", "disc", "wick"]
EFFECTS = ["removes", "fits", "loosens", "finds", "sets", "lubricates"]


@pytest.mark.parametrize(
    ("made", "identifier"),
    [
        (step("Undo it.", id="own", removes="lamp"), "own"),
        (step("Undo it.", removes=["lamp", "cover"]), "removes-lamp"),
        (step("Undo it.", removes="lamp", loosens="set-screw"), "loosens-set-screw"),
        (step("Wash.", cleans={"$parts": "$agent"}), "cleans-parts"),
        (step("Renew.", renews={"bulb": "led"}), "renews-bulb"),
        (step("Free it.", becomes={"works": "free"}), "becomes-works"),
        (step("Give it back.", hands_over=True), "hands-over"),
        (step("Stop.", stops="display-only"), "stops-display-only"),
        (step("Leave the *base* for a day."), "leave-the-base-for-a-day"),
        (step("Undo <fasteners winder-frame> now."), "undo-winder-frame-now"),
        (step(varies(({"lamp": "stalk"}, "Straße fegen."), ({"not": {"lamp": "stalk"}}, "Other."))), "strasse-fegen"),
        (step("***"), "step"),
    ],
)
def test_ids_come_from_what_a_step_does(made: Step, identifier: str) -> None:
    assert step_id(made) == identifier


def test_effects_count_in_their_fixed_order_not_as_written() -> None:
    """Removing comes before setting, whichever key stands first."""
    assert step_id(step("A.", sets="throw", removes="lamp")) == step_id(step("A.", removes="lamp", sets="throw"))


@given(some.text(max_size=60))
@example("\N{MATHEMATICAL BOLD CAPITAL A}")
def test_slugs_are_safe_in_addresses_and_html(text: str) -> None:
    made = slug(text)
    assert not re.search(r"[\s\"'<>&#%/?]", made)
    assert made == slug(made)


@settings(deadline=None)
@given(some.permutations([(e, p) for e, p in zip(EFFECTS, PARTS, strict=True)]), some.data())
def test_ids_and_anchors_stay_when_others_come_go_or_move(order: list[tuple[str, str]], data: some.DataObject) -> None:
    def ids(pairs: list[tuple[str, str]]) -> dict[str, tuple[str, str]]:
        nodes = [step("Do it.", **{effect: part}) for effect, part in pairs]
        program = expand(shop(procedures=[procedure("main", *nodes)]), "main")
        return {f"{e} {p}": (act.id, act.anchor) for (e, p), act in zip(pairs, program.acts, strict=True)}

    before = ids(list(zip(EFFECTS, PARTS, strict=True)))
    kept = order[: data.draw(some.integers(0, len(order)))]
    after = ids(kept)
    assert after == {name: before[name] for name in after}


def test_alternatives_with_equal_effects_ask_for_ids() -> None:
    main = procedure("main", by("lamp", bracket=[step("A.", removes="lamp")], stalk=[step("B.", removes="lamp")]))
    (message,) = equal_ids(main)
    assert message.code == "step-needs-id"
    assert message.level == "warning"
    assert message.related


def test_numbered_anchors_never_meet_one_that_is_written() -> None:
    nodes = [step("A.", id="a--2"), step("A.", id="a"), step("B.", id="a")]
    items = expand(shop(procedures=[procedure("main", *nodes)]), "main").items
    anchors = [act.anchor for act in expand(shop(procedures=[procedure("main", *nodes)]), "main").acts]
    assert len(set(anchors)) == 3
    assert with_anchors(items)[0] == items
