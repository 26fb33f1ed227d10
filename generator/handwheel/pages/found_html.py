"""Fragments of procedures for machines as found: the HTML of the other pages, with places for a script to fill."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from handwheel.machines.conditions import ALWAYS
from handwheel.machines.truth import Depends
from handwheel.pages.addresses import anchor_of
from handwheel.pages.found_beside import frames_beside
from handwheel.pages.frames import END, START, fill, mark
from handwheel.pages.here import Here
from handwheel.pages.lay_out import fasteners_used, supplies_used
from handwheel.pages.procedure_pages import deals_with_power, has_effects
from handwheel.pages.step_html import PageOfSteps, StepWriter, block, caution_box, caution_line, macros, may_be_left_out
from handwheel.procedures.forks import Unsaid
from handwheel.procedures.hazards import cautions_of
from handwheel.procedures.resolved import Group, ResolvedStep
from handwheel.procedures.shown import look_of
from handwheel.procedures.verdicts import SETTLED, Verdict
from handwheel.records.library import Library
from handwheel.records.step_records import Step


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
    there: Callable[[str], int]
    """The mask of the machines that have a fastener, by number."""

    @property
    def library(self) -> Library:
        """The library."""
        return self.page.here.library

    def step(self, step: ResolvedStep) -> list[Any]:
        """The step with places for what a script fills in: see `found-engine.js`."""
        fields = self.page.fields(step, Markup(mark("cautions")))
        fields |= {place: mark(place) for place in ("derived", "state")}
        html = fill(self.page.writer.frame(step, self.page.here), fields)
        record = step.act.step
        kinds = (may_be_left_out(step), has_effects(record), deals_with_power(record))
        minutes = [record.minutes.low, record.minutes.likely, record.minutes.high] if record.minutes else 0
        flags = sum(1 << place for place, so in enumerate(kinds) if so)
        return [html, cautions_of(self.library, record), flags, step.anchor, minutes, *self._laid_out(record)]

    def _laid_out(self, step: Step) -> Iterator[list[Any]]:
        """Tools, blades with the machines that need them, and supplies."""
        here = self.page.here
        yield list(step.tools)
        named = ((name, self.library.fasteners[name].blade) for name in fasteners_used(here, step))
        yield [[self.there(name), blade] for name, blade in named if blade]
        yield list(supplies_used(here, step))

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


def frames_of_items() -> dict[str, Any]:
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
        "timed": str(macros().steps(place, place, place, caller=lambda: place)).split("\0"),
        "beside": frames_beside(),
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
