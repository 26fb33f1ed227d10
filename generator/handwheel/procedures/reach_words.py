"""A plan to reach a part, in words: the same for the terminal and for pages."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from handwheel.machines.conditions import ALWAYS
from handwheel.machines.space import Space
from handwheel.procedures.contrary import contrary_text
from handwheel.procedures.judge import Judge
from handwheel.procedures.program import Act, Fork, Guarded, Items, Loop, acts_of
from handwheel.procedures.prose import Pieces, pieces
from handwheel.procedures.reach import Plan
from handwheel.procedures.verdicts import Ground
from handwheel.procedures.wording import if_words
from handwheel.records.library import Library
from handwheel.records.values import Minutes


@dataclass(frozen=True)
class Said:
    """One step of a plan in words, with where it is written."""

    act: Act
    text: Pieces
    when: str = ""
    """The answer under which it is done, in words; empty where it always is."""


@dataclass(frozen=True)
class Chapter:
    """A stretch of a plan: what it is for, and its steps."""

    title: str
    steps: tuple[Said, ...]


def chapters(library: Library, space: Space, machine: int, plan: Plan) -> Iterator[Chapter]:
    """The plan from isolating to oiling; stretches without steps are left out."""
    judge = Judge(Ground(library, space), machine, {})
    runs: list[tuple[str, Items]] = [
        ("First", plan.first),
        ("Take off, in this order", plan.off),
        ("Put back, in this order", plan.back),
        *((f"Set again: {library.settings[each.id].name}", each.items) for each in plan.settings),
        ("Oil it, if it is renewed", plan.oiled),
    ]
    for title, items in runs:
        said = tuple(_said(judge, items, ""))
        if said:
            yield Chapter(title, said)


def _said(judge: Judge, items: Items, when: str) -> Iterator[Said]:
    library = judge.ground.library
    for item in items:
        match item:
            case Act():
                text = _text(judge, item)
                if text is not None:
                    yield Said(item, text, when)
            case Fork(arms=arms):
                for arm in arms:
                    if not judge.verdict(arm.when.condition).out:
                        yield from _said(judge, arm.items, if_words(library, arm.when.condition))
            case Guarded(when=guard, items=held):
                yield from _said(judge, held, if_words(library, guard.condition))
            case Loop(items=held, otherwise=otherwise):
                yield from _said(judge, held, when)
                yield from _said(judge, otherwise, "If it is still not so")


def _text(judge: Judge, act: Act) -> Pieces | None:
    """The words of a step on the machine; of a step that hangs on a reading, its words all the same."""
    varies = act.do or contrary_text(judge, act)
    cases = [case for case in varies.cases if case.condition == ALWAYS or not judge.verdict(case.condition).out]
    return pieces(judge, cases[0].value.raw, act.words) if cases else None


def minutes_of(plan: Plan) -> Minutes | None:
    """Least, likely and most minutes of all steps that tell theirs, each done once."""
    acts = (*plan.first, *plan.off, *plan.back, *(act for each in plan.settings for act in acts_of(each.items)))
    known = [minutes for act in acts if (minutes := act.step.minutes) is not None]
    if not known:
        return None
    return Minutes(sum(m.low for m in known), sum(m.likely for m in known), sum(m.high for m in known))


def tools_of(plan: Plan) -> tuple[str, ...]:
    """Tools that its steps name, in the order needed."""
    acts = (*plan.first, *plan.off, *(act for each in plan.settings for act in acts_of(each.items)))
    return tuple(dict.fromkeys(tool for act in acts for tool in act.step.tools))
