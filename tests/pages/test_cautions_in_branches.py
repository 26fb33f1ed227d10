"""A caution stands in full wherever whoever comes by may not have met it before."""

from __future__ import annotations

import re

from handwheel.checks.report import Report
from handwheel.pages.addresses import page_of
from handwheel.pages.here import Desk
from handwheel.pages.step_html import PageOfSteps, StepWriter
from handwheel.pages.work_list import resolved
from handwheel.records.step_records import Node
from shopkit import by, caution, ensure, feature, finding, part, procedure, repeat, shop, step, variant

HOT = {"cautions": "hot-lamp"}


def said(*nodes: Node) -> list[str]:
    """What the page of these nodes says: id of a box in full, or where a line points to, in order."""
    library = shop(
        variants=[variant("v", lamp="round")],
        features=[feature("lamp", "round", "square")],
        findings=[finding("wick", "soft", "hard", good="soft")],
        cautions=[caution("hot-lamp", hazard="The lamp is hot.")],
        parts=[part("cover"), part("lamp-hood")],
        procedures=[
            procedure("p", *nodes),
            procedure("cover-off", step("Take it off.", removes="cover", **HOT), shared=True),
        ],
    )
    desk = Desk(library, Report((), (), ()))
    page = PageOfSteps(StepWriter(library), desk.at(page_of("procedures", "p")), "p")
    html = str(page.items(resolved(library, "v", "p").items))
    return [box or f"#{line}" for box, line in re.findall(r'<aside[^>]* id="([^"]*)"|hw-again.*?href="#([^"]*)"', html)]


def test_in_full_once_where_all_come_by() -> None:
    """The first in full, the next in a line that leads to it."""
    first, second = said(step("A.", **HOT), step("B.", **HOT))
    assert second == f"#{first}"


def test_what_stood_in_one_branch_was_not_read_in_the_other_nor_after() -> None:
    """Three boxes; each line leads to the box of its own branch; no id twice."""
    branch = by("wick", soft=[step("B.", **HOT), step("C.", **HOT)], hard=[step("D.", **HOT)])
    soft, line, hard, after = said(step("A.", finds="wick"), branch, step("E.", **HOT))
    assert line == f"#{soft}"
    assert len({soft, hard, after}) == 3
    assert not any(each.startswith("#") for each in (soft, hard, after))


def test_what_stood_before_the_branches_was_read_in_each() -> None:
    """Lines in both."""
    first, soft, hard = said(
        step("A.", finds="wick", **HOT), by("wick", soft=[step("B.", **HOT)], hard=[step("C.", **HOT)])
    )
    assert soft == hard == f"#{first}"


def test_the_body_of_a_repeat_is_done_the_way_out_is_not() -> None:
    """What stands in the way out only was not read by those who never came to it."""
    round_ = repeat({"wick": "soft"}, step("A.", finds="wick", becomes={"wick": "soft"}), otherwise=[step("B.", **HOT)])
    way_out, after = said(round_, step("C.", **HOT))
    assert not after.startswith("#")
    assert way_out != after
    body = repeat({"wick": "soft"}, step("A.", finds="wick", **HOT), otherwise=[step("B.", **HOT)])
    first, second, third = said(body, step("C.", **HOT))
    assert second == third == f"#{first}"


def test_a_step_that_may_be_left_out_does_not_count() -> None:
    """Neither one under a condition, nor one that is passed over where the part is off already."""
    for maybe in (step("A.", when={"wick": "hard"}, **HOT), ensure("cover-off")):
        _, after = said(step("Look.", finds="wick"), maybe, step("B.", **HOT))
        assert not after.startswith("#")
