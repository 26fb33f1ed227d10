"""What stands beside a step: where its screws sit, verbs that fit what is undone, names in the plural."""

from __future__ import annotations

import re

from handwheel.pages.here import Desk
from handwheel.pages.phrases import span_words
from handwheel.pages.procedure_pages import procedure_pages
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener
from handwheel.records.step_records import Node
from shopkit import agent, amount, fastener, part, procedure, setting, shop, step, variant


def shown(*nodes: Node, fasteners: tuple[Fastener, ...] = ()) -> str:
    """The page of a procedure of these nodes, without its marks."""
    library: Library = shop(
        variants=[variant("v")],
        parts=[
            part("head", root=True),
            part("lid", name="lid"),
            part("vane", name="vane", count=2, inside="lid"),
            part("hub", name="hub", inside="lid", stays="It is pressed on."),
        ],
        fasteners=list(fasteners),
        settings=[setting("gap", ("lid-screw",), name="gap of the lid")] if SCREW in fasteners else [],
        agents=[agent("water")],
        procedures=[procedure("p", *nodes)],
    )
    pages = {page.path: page for page in procedure_pages(Desk(library))}
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", "", pages["on/v/p.html"].html))


SCREW = fastener("lid-screw", "lid", name="lid screw", count=2, sits="at both ends of the lid")


def test_a_screw_is_said_with_its_place() -> None:
    assert "Undo 2 lid screws (at both ends of the lid)" in shown(step("A.", removes="lid"), fasteners=(SCREW,))


def test_a_plug_is_pulled_and_what_slips_on_is_not_undone() -> None:
    plug = fastener("lid-plug", "lid", name="lid plug", kind="plug")
    page = shown(step("A.", removes="lid"), fasteners=(plug,))
    assert "Pull out the lid plug" in page
    fit = fastener("lid-fit", "lid", name="fit of the lid", kind="slip fit")
    assert "fit of the lid" not in shown(step("A.", removes="lid"), fasteners=(fit,))


def test_several_are_named_in_the_plural() -> None:
    page = shown(step("A.", removes="lid"), fasteners=(SCREW,))
    assert "Comes along: vanes, hub" in page
    assert "through the lid screws" in page


def test_what_never_leaves_its_carrier_is_off_with_it() -> None:
    page = shown(step("A.", cleans={"hub": "water"}, how="bath"), fasteners=(SCREW,))
    assert "Off already: lid." in page and "Off already: hub." not in page


def test_what_a_step_loses_and_sets_is_not_told_as_lost() -> None:
    both = step("A.", loosens="lid-screw", tightens="lid-screw", sets="gap")
    page = shown(both, fasteners=(SCREW,))
    assert "Loses gap of the lid" not in page
    assert "Loses gap of the lid" in shown(step("A.", loosens="lid-screw"), fasteners=(SCREW,))


def test_a_wait_is_told_in_days_and_hours() -> None:
    said = {text: span_words(amount(text, "time")) for text in ("336 h", "24 h", "12 h", "1 h", "90 min")}
    assert said == {"336 h": "14 days", "24 h": "1 day", "12 h": "12 hours", "1 h": "1 hour", "90 min": "90 minutes"}
