"""Fragments of procedures for machines as found: the HTML of the other pages, with places for a script to fill."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from handwheel.machines.conditions import ALWAYS
from handwheel.machines.truth import Depends
from handwheel.pages.addresses import anchor_of
from handwheel.pages.frames import END, START, fill, mark
from handwheel.pages.here import Here
from handwheel.pages.step_html import PageOfSteps, StepWriter, block, caution_box, caution_line, macros, may_be_left_out
from handwheel.procedures.forks import Unsaid
from handwheel.procedures.hazards import cautions_of
from handwheel.procedures.resolved import Group, ResolvedStep
from handwheel.procedures.shown import look_of
from handwheel.procedures.verdicts import SETTLED, Verdict
from handwheel.records.library import Library


class FoundWriter(StepWriter):
    """Writes steps whose looks a script finds."""

    def looks(self, truth: Depends) -> str:
        """A place for the questions."""
        return Markup("{}look{}{}").format(START, _number(truth), END)


def _number(truth: Depends) -> int:
    look = truth.looks[0]
    assert isinstance(look, Unsaid)
    return look.number


@dataclass(frozen=True)
class Fragments:
    """Paints one procedure; see `procedures.compile.Painter`."""

    page: PageOfSteps

    @property
    def library(self) -> Library:
        """The library."""
        return self.page.here.library

    def step(self, step: ResolvedStep) -> list[Any]:
        """The step with a place for its cautions, their ids, and whether it may be passed over."""
        fields = self.page.fields(step, Markup(mark("cautions")))
        html = fill(self.page.writer.frame(step, self.page.here), fields)
        return [html, cautions_of(self.library, step.act.step), *([1] if may_be_left_out(step) else [])]

    def arm(self, question: str, states: tuple[str, ...], words: str) -> str:
        """What stands over an alternative."""
        group = Group(Verdict(SETTLED), ALWAYS, words, (), states)
        return str(escape(self.page.answer_words(question, group)))

    def fork(self, question: str) -> str:
        """What stands over alternatives of which a step tells."""
        return str(escape(self.page.asked(question)))

    def repeat(self, until: str, at_most: int) -> str:
        """What stands over a repeat."""
        return str(self.page.repeat_title(until, at_most))

    def reach(self, parts: tuple[str, ...]) -> str:
        """What stands over items that must be reached."""
        return str(self.page.reach_title(parts))


def frames_of_items() -> dict[str, list[str] | str]:
    """The shared pieces around fragments, each cut at its places."""
    place = Markup("\0")
    answer = macros().answer(place, place)
    look = Markup('<li class="hw-look"><p class="hw-ask"><b>Look first</b> {}</p>{}{}</li>').format(place, place, place)
    return {
        "answer": str(answer).split("\0"),
        "nothing": str(macros().answer(place, "")).split("\0"),
        "block": str(block(place, place)).split("\0"),
        "list": ['<ol class="hw-steps">', "</ol>"],
        "look": str(look).split("\0"),
        "where": ['<p class="hw-where">', "</p>"],
        "work": str(macros().steps(place, place, caller=lambda: place)).split("\0"),
        "still": "If it is still not so",
        "one": "One of these",
    }


def cautions_html(here: Here, ids: Iterable[str]) -> dict[str, list[str]]:
    """Cautions in full and in a line, with a place for the anchor, and that anchor."""
    place = mark("anchor")
    return {
        each: [
            str(caution_box(here, each, place)),
            str(caution_line(here, each, place)),
            anchor_of("cautions", each),
        ]
        for each in ids
    }


def look_words(library: Library, looks: list[str]) -> dict[str, list[str]]:
    """Each look as a question, and where to look; HTML."""
    return {
        each: [
            str(escape(look_of(library, each)["ask"])),
            *([str(escape(library.features[each].look))] if each in library.features else []),
        ]
        for each in looks
    }


__all__ = ["FoundWriter", "Fragments", "cautions_html", "frames_of_items", "look_words"]
