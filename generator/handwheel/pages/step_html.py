"""Resolved steps as HTML. What does not depend on the page is made once a step and then only filled."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from markupsafe import Markup, escape

from handwheel.machines.masks import VARIANT
from handwheel.machines.truth import Depends
from handwheel.pages.addresses import anchor_of, page_of, work_page
from handwheel.pages.environment import environment
from handwheel.pages.figures import figure_html
from handwheel.pages.frames import Frame, fill, frame_of, mark
from handwheel.pages.here import Here
from handwheel.pages.phrases import minutes_words, span_words, variant_name
from handwheel.pages.prose_html import pieces_html
from handwheel.pages.stretches import stretches_of_steps
from handwheel.procedures.hazards import cautions_of
from handwheel.procedures.noted import digest_of, steps_by_id
from handwheel.procedures.resolved import (
    Alternatives,
    Group,
    Prose,
    Reaching,
    Repeated,
    ResolvedItem,
    ResolvedStep,
)
from handwheel.procedures.shown import REACHED, look_of
from handwheel.procedures.wording import condition_words, joined, name_of, state_words
from handwheel.records.library import Library

_SYMBOLS = {
    "electricity": "shock", "lifting": "heavy", "fire": "fire", "fumes": "fumes", "sharp": "needle", "spring": "spring",
    "hot": "hot", "crush": "pinch", "poison": "fumes", "dust": "fumes", "general": "",
}  # fmt: skip


@cache
def macros() -> Any:
    """The components that all pages share."""
    return environment().get_template("macros.html").module


@dataclass
class StepWriter:
    """Writes the steps of pages of one depth; keeps what it made."""

    library: Library
    made: dict[int, Frame] = field(default_factory=dict)
    kept: list[ResolvedStep] = field(default_factory=list)
    """Holds the steps whose identity is a key, so that it is not given to another."""

    def frame(self, step: ResolvedStep, here: Here) -> Frame:
        """A step's HTML with places for what depends on the page."""
        found = self.made.get(id(step))
        if found is None:
            found = self.made[id(step)] = frame_of(str(self._step(step, here)))
            self.kept.append(step)
        return found

    def _step(self, step: ResolvedStep, here: Here) -> Markup:
        record = step.act.step
        shown = list(self._shown(step, here))
        made: Markup = macros().step(
            step.anchor,
            self._do(step, here),
            why=prose(self.library, step.why, here),
            back=prose(self.library, step.back, here),
            ok=prose(self.library, step.ok, here),
            derived_slot=Markup(mark("derived")),
            here_slot=Markup(mark("here")),
            minutes=minutes_words(record.minutes),
            cautions=Markup(mark("cautions")),
            state=Markup(mark("state")),
            shown=shown,
            more=self._more(step, here),
            noted=self._noted(step),
            drafts_slot=Markup(mark("drafts")),
        )
        return made

    def _noted(self, step: ResolvedStep) -> dict[str, str]:
        """What a note of the step must carry, so that it finds its step again."""
        readings = [self.library.readings[each] for each in step.act.step.measures]
        measures = json.dumps([[each.id, each.ask, each.unit] for each in readings], ensure_ascii=False)
        digest = digest_of(steps_by_id(self.library).get(step.id, step.act.step))
        return {"step": step.id, "digest": digest} | ({"measures": measures} if readings else {})

    def _shown(self, step: ResolvedStep, here: Here) -> Iterator[tuple[str, str]]:
        """Stretches of recordings, those that name the step and those that it names."""
        recordings = self.library.of("recordings")
        listed = stretches_of_steps(self.library).get(step.act.id, ())
        spots = [(each.recording, each.passage.start, f"#{each.anchor}") for each in listed]
        known = {each.recording for each in listed}
        spots += [(each.recording, each.start, "") for each in step.act.step.shown if each.recording not in known]
        for recording, start, anchor in spots:
            name = name_of(recordings[recording], "recordings")
            yield f"Shown in {name}, from {start}", here.to(page_of("recordings", recording)) + anchor

    def _do(self, step: ResolvedStep, here: Here) -> Markup:
        said = prose(self.library, step.do, here)
        if step.verdict.asked is not None:
            said = Markup("<b>If {}:</b> {}").format(condition_words(self.library, step.verdict.asked), said)
        if isinstance(step.verdict.truth, Depends):
            words = condition_words(self.library, step.act.condition)
            looks = self.looks(step.verdict.truth)
            said = Markup("<b>Only if {}.</b> {} <small>Look first: {}</small>").format(words, said, looks)
        return said

    def looks(self, truth: Depends) -> str:
        """The questions to be answered by looking."""
        return joined(look_of(self.library, each)["ask"] for each in truth.looks)

    def _more(self, step: ResolvedStep, here: Here) -> Markup:
        record = step.act.step
        lines = [
            ("Mind", prose(self.library, step.trap, here)),
            ("If it does not go", prose(self.library, step.otherwise, here)),
            ("Tools", here.anchors("tools", record.tools)),
            ("Supplies", here.anchors("supplies", record.supplies)),
            ("Wait", escape(span_words(record.wait.duration)) if record.wait else Markup("")),
        ]
        made = [Markup('<p class="hw-line"><b>{}</b> {}</p>').format(name, text) for name, text in lines if text]
        made += [figure_html(here, each) for each in record.figures]
        if step.act.unless_apart:
            made.append(Markup('<p class="hw-line">Leave this out when it is off already.</p>'))
        return Markup("").join(made)


def prose(library: Library, text: Prose | None, here: Here) -> Markup:
    """A text for the machine; alternatives with what they hang on."""
    if text is None:
        return Markup("")
    made = []
    for option in text.options:
        html = pieces_html(library, option.value, here.to)
        if not option.verdict.settled:
            html = Markup("<small>({})</small> {}").format(condition_words(library, option.condition, True), html)
        made.append(html)
    return Markup("<br>").join(made)


def caution_box(here: Here, caution: str, anchor: str = "") -> Markup:
    """A safety message in full."""
    record = here.library.cautions[caution]
    made: Markup = macros().caution(
        record.word,
        _sentence(record.hazard),
        _sentence(record.consequence),
        here.prose(record.avoid),
        _SYMBOLS[record.symbol],
        anchor,
    )
    return made


def caution_line(here: Here, caution: str, anchor: str) -> Markup:
    """A safety message that was said in full before, at the anchor."""
    record = here.library.cautions[caution]
    made: Markup = macros().caution_line(record.word, record.hazard, f"#{anchor}")
    return made


def may_be_left_out(step: ResolvedStep) -> bool:
    """Whether whoever does the work may pass over a step, and with it what the step says."""
    return not step.verdict.settled or step.act.unless_apart


@dataclass
class PageOfSteps:
    """One page's steps: knows which cautions were said in full before, and which variant it is for."""

    writer: StepWriter
    here: Here
    procedure: str
    variant: str = ""
    """Empty on the page for every pattern."""
    beside: Mapping[str, Beside] = field(default_factory=dict)
    said: dict[str, str] = field(default_factory=dict)
    """Cautions that whoever comes here has met in full, and where; what a branch says counts in that branch only."""
    boxes: Counter[str] = field(default_factory=Counter)
    """How many times each stands on the page in full."""

    def items(self, items: Iterable[ResolvedItem]) -> Markup:
        """All items in order."""
        return Markup("").join(self._item(item) for item in items)

    def _item(self, item: ResolvedItem) -> Markup:
        match item:
            case ResolvedStep():
                return self._step(item)
            case Group():
                return self._fork("", (item,))
            case Alternatives(question, _, arms):
                return self._fork(question, arms)
            case Repeated():
                return self._repeat(item)
            case Reaching(parts, items):
                inner = Markup('<ol class="hw-steps">{}</ol>').format(self.items(items))
                return block(self.reach_title(parts), inner)

    def reach_title(self, parts: tuple[str, ...]) -> Markup:
        """What stands over items that must be reached."""
        names = joined(name_of(self.here.library.parts[part], "parts") for part in parts)
        return Markup("Reach the {}: {}").format(names, REACHED)

    def _step(self, step: ResolvedStep) -> Markup:
        return Markup(fill(self.writer.frame(step, self.here), self.fields(step, self._cautions(step))))

    def fields(self, step: ResolvedStep, cautions: Markup) -> dict[str, str]:
        """What is filled into a step's frame on this page."""
        beside = self.beside.get(step.anchor, NOTHING)
        return {
            "cautions": str(cautions),
            "here": str(macros().here_line(self._why_here(step))),
            "derived": str(macros().derived_lines(beside.derived)),
            "state": str(macros().state(beside.rows, False, beside.looks)) if beside.known else "",
            "drafts": str(macros().draft_lines(self.here.desk.drafts_at(step.id))),
        }

    def _cautions(self, step: ResolvedStep) -> Markup:
        made = []
        for each in cautions_of(self.here.library, step.act.step):
            if each in self.said:
                made.append(caution_line(self.here, each, self.said[each]))
                continue
            self.boxes[each] += 1
            anchor = anchor_of("cautions", each) + (f"-{self.boxes[each]}" if self.boxes[each] > 1 else "")
            made.append(caution_box(self.here, each, anchor))
            if not may_be_left_out(step):
                self.said[each] = anchor
        return Markup("").join(made)

    def _apart(self, items: Iterable[ResolvedItem]) -> Markup:
        """Items that not everybody comes by: what they say in full was not read by those who did not."""
        before = dict(self.said)
        made = self.items(items)
        self.said = before
        return made

    def _why_here(self, step: ResolvedStep) -> Markup:
        """Why the step stands here, where not every pattern has it, and the way to it on the others."""
        if step.reason is None:
            return Markup("")
        others = [each for each, _ in step.reason.variants if each != self.variant]
        links = Markup(", ").join(
            Markup('<a href="{}#{}">{}</a>').format(
                self.here.to(work_page(each, self.procedure)), step.anchor, variant_name(self.here.library, each)
            )
            for each in others
        )
        words = Markup("{}.").format(step.reason.words)
        return words + (Markup(" The same step on {}").format(links) if links else Markup(""))

    def _fork(self, question: str, arms: tuple[Group, ...]) -> Markup:
        looks = dict.fromkeys(
            look for arm in arms if isinstance(arm.verdict.truth, Depends) for look in arm.verdict.truth.looks
        )
        answers = Markup("").join(
            macros().answer(self.answer_words(question, arm), self._apart(arm.items)) for arm in arms
        )
        if not looks:
            return block(Markup("{}").format(self.asked(question)), answers)
        library = self.here.library
        asks = [look_of(library, look)["ask"] for look in looks]
        where = " ".join(library.features[look].look for look in looks if look in library.features)
        return Markup('<li class="hw-look"><p class="hw-ask"><b>Look first</b> {}</p>{}{}</li>').format(
            " ".join(asks), Markup('<p class="hw-where">{}</p>').format(where) if where else Markup(""), answers
        )

    def answer_words(self, question: str, arm: Group) -> str:
        """The states that an arm is for; its condition where it stands under no question."""
        if not arm.states or question in ("", VARIANT):
            return _capital(f"if {arm.words}")
        library = self.here.library
        return _capital(joined((state_words(library, question, state) for state in arm.states), "or"))

    def asked(self, question: str) -> str:
        """What stands over alternatives of which a step tells."""
        library = self.here.library
        for kind in ("findings", "readings", "choices", "features"):
            if question in library.of(kind):
                return name_of(library.of(kind)[question], kind)
        return "One of these"

    def _repeat(self, item: Repeated) -> Markup:
        body = Markup('<ol class="hw-steps">{}</ol>').format(self.items(item.items))
        after = Markup("")
        if item.otherwise:
            after = macros().answer("If it is still not so", self._apart(item.otherwise))
        return block(self.repeat_title(item.until, item.at_most), body + after)

    def repeat_title(self, until: str, at_most: int) -> Markup:
        """What stands over a repeat."""
        return Markup("Repeat until {}, at most {} times").format(until, at_most)


@dataclass(frozen=True)
class Beside:
    """What the simulation knows of a step on this page's machine."""

    derived: tuple[Markup, ...] = ()
    rows: tuple[tuple[str, str, Markup], ...] = ()
    known: bool = False
    looks: str = ""
    """Looks that the state hangs on."""


NOTHING = Beside()


def block(title: Markup, body: Markup) -> Markup:
    """Items under a title."""
    return Markup('<li class="hw-look"><p class="hw-ask">{}</p>{}</li>').format(title, body)


def _sentence(words: str) -> str:
    return words if words.endswith((".", "!", "?")) else f"{words}."


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
