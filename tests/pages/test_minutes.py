"""Minutes of a procedure, from those of its steps."""

from __future__ import annotations

from handwheel.pages.phrases import minutes_words
from handwheel.pages.work_list import minutes_of, resolved
from handwheel.records.library import Library
from handwheel.records.step_records import Node
from handwheel.records.values import Minutes
from shopkit import by, finding, procedure, shop, step, variant


def made(*nodes: Node) -> Minutes | None:
    """Minutes of a procedure of these nodes."""
    library: Library = shop(
        variants=[variant("v")],
        findings=[finding("wick", "soft", "hard", good="soft")],
        procedures=[procedure("p", *nodes)],
    )
    return minutes_of(resolved(library, "v", "p").items)


def test_steps_in_a_row_add_up() -> None:
    """Low with low, likely with likely, high with high; a step without minutes adds nothing."""
    found = made(step("A.", minutes=[1, 2, 6]), step("B."), step("C.", minutes=[2, 3, 4]))
    assert found == Minutes(3, 5, 10)


def test_nothing_is_said_of_steps_without_minutes() -> None:
    """Not nought."""
    assert made(step("A.")) is None


def test_of_alternatives_one_is_done() -> None:
    """The least of the one, the most of the other, and the mean as likely; an empty arm takes no time."""
    arms = by("wick", soft=[step("A.", minutes=[1, 2, 3])], hard=[step("B.", minutes=[4, 6, 9])])
    assert made(step("Look.", finds="wick"), arms) == Minutes(1, 4, 9)
    assert made(step("Look.", finds="wick"), by("wick", soft=[], hard=[step("B.", minutes=[4, 6, 9])])) == Minutes(
        0, 3, 9
    )


def test_minutes_are_told_as_people_plan_them() -> None:
    assert minutes_words(Minutes(1, 1, 1)) == "1 minute"
    assert minutes_words(Minutes(0.5, 2.5, 9)) == "2.5 minutes, 0.5 to 9"
    assert minutes_words(Minutes(11.4, 16.3, 103)) == "16 minutes, 11 to 103"


def test_from_two_hours_on_they_are_hours_and_minutes() -> None:
    """Tens of minutes, since nobody plans a day in less; what is under two hours keeps its minutes."""
    assert minutes_words(Minutes(119.4, 119.4, 119.4)) == "119 minutes"
    assert minutes_words(Minutes(119.6, 119.6, 119.6)) == "2 h"
    assert minutes_words(Minutes(2.5, 90, 200)) == "90 min, 2.5 min to 3 h 20 min"
    assert minutes_words(Minutes(591, 591, 591)) == "9 h 50 min"
    assert minutes_words(Minutes(300, 591, 1_203)) == "9 h 50 min, 5 h to 20 h"
    assert minutes_words(Minutes(115, 125, 135)) == "2 h, 115 min to 2 h 20 min"
