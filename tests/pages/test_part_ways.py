"""The ways to reach a part on its page: one block an answer, each machine that left the works in exactly one."""

from __future__ import annotations

from typing import Any

from handwheel.machines.masks import bits
from handwheel.pages.here import Desk
from handwheel.pages.part_pages import part_pages
from handwheel.pages.reach_html import Way, ways_to
from handwheel.pages.site import Page
from handwheel.procedures.reach import reach
from handwheel.procedures.reach_groups import reach_in
from handwheel.records.library import Library
from shopkit import feature, part, procedure, shop, step, variant

FORMS = ("a", "b", "c", "d")


def lamp_shop() -> Library:
    """Sixteen machines left the works as the first variant; on those with one lamp a bush is behind a bracket."""
    return shop(
        feature("finish", *FORMS),
        feature("lamp", *FORMS),
        variant("first", finish=FORMS, lamp=FORMS),
        variant("second", finish="a", lamp="a"),
        variant("third", finish="a", lamp="d"),
        part("head", root=True),
        part("bracket", when={"lamp": "d"}),
        part("bush", behind="bracket"),
        procedure("strip", step("Lift it off.", id="off", removes="bracket"), step("Press.", id="out", removes="bush")),
    )


def ways(library: Library, wanted: str) -> list[Way]:
    return list(ways_to(Desk(library).at("parts/x.html"), wanted))


def test_no_machine_is_left_out_however_many_there_are() -> None:
    library = lamp_shop()
    first, second = ways(library, "bush")
    assert {first.machines, second.machines} == {
        "first (lamp: a, b or c); second",
        "first (lamp: d); third",
    }


def test_each_machine_has_the_way_that_is_worked_out_for_it_alone() -> None:
    library = lamp_shop()
    has = Desk(library).has("first")
    within = has.mask("parts", "bush")
    assert within.bit_count() == len(FORMS) ** 2
    reached = reach_in(library, has.space, within, "bush", verify=False)
    for bit in bits(within):
        alone = reach(library, has.space, bit, "bush", verify=False)
        assert [group.plan.key for group in reached.groups if group.machines >> bit & 1] == [alone.key]


def test_a_part_that_nothing_is_in_front_of_has_one_block_without_conditions() -> None:
    (way,) = ways(lamp_shop(), "bracket")
    assert way.machines == "first and third"


def test_the_page_says_for_which_machines_it_holds() -> None:
    pages: dict[str, Any] = {each.path: each for each in part_pages(Desk(lamp_shop()))}
    page: Page = next(each for path, each in pages.items() if path.endswith("bush.html"))
    assert "every machine that left the works with it" in page.html
