"""Ids and anchors of steps: made of what a step does, so that they stay when other steps come and go."""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from handwheel.procedures.program import Act, Items, Link, change_acts
from handwheel.reading.messages import Message
from handwheel.records.step_records import (
    EFFECTS,
    By,
    Ensure,
    Mirror,
    Node,
    OneOf,
    Reach,
    Repeat,
    Step,
    Under,
    Use,
    Wait,
)
from handwheel.records.work_records import Procedure

SLUG_WORDS = 6
JOINT = "--"
"""Between the parts of an anchor; single hyphens stand inside ids."""
BACK = "back"
"""Last part of a mirrored step's anchor."""


def slug(text: str, words: int = SLUG_WORDS) -> str:
    """The first words of a text as an id: small letters, figures and hyphens; accents dropped."""
    plain = text
    for _ in range(2):  # a letter taken apart may be a capital, and one made small may have to be taken apart
        plain = unicodedata.normalize("NFKD", plain).casefold()
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return "-".join(re.findall(r"[^\W_]+", plain)[:words])


def step_id(step: Step) -> str:
    """The step's id within its procedure: its own, else first effect and target, else its first words."""
    if step.id:
        return step.id
    for effect in EFFECTS:
        value = getattr(step, effect)
        if value:
            return slug(f"{effect} {_target(value)}", 99)
    return slug(_first_words(step)) or "step"


def full_id(procedure: str, step: Step) -> str:
    """`procedure/step`."""
    return f"{procedure}/{step_id(step)}"


def base_anchor(chain: tuple[Link, ...], local: str, mirrored: bool) -> str:
    """The anchor before equal ones are told apart: what leads to the step, then the step."""
    parts = [link.id or link.procedure for link in chain] + [local] + [BACK] * mirrored
    return JOINT.join(_safe(part) for part in parts)


def own_steps(nodes: Iterable[Node]) -> Iterator[Step]:
    """Steps written in these nodes themselves, not those that they refer to."""
    for node in nodes:
        match node:
            case Step():
                yield node
            case Under(steps=steps) | Reach(steps=steps):
                yield from own_steps(steps)
            case By(branches=branches):
                for branch in branches:
                    yield from own_steps(branch.steps)
            case OneOf(alternatives=alternatives):
                yield from own_steps(alternatives)
            case Repeat(steps=steps, otherwise=otherwise):
                yield from own_steps((*steps, *otherwise))
            case Mirror(after=after):
                for put_in in after.values():
                    yield from own_steps(put_in)
            case Use() | Ensure():
                pass


def equal_ids(procedure: Procedure) -> Iterator[Message]:
    """A message for each step whose id another step of the procedure has before it."""
    first: dict[str, Step] = {}
    for step in own_steps(procedure.steps):
        identifier = step_id(step)
        if identifier not in first:
            first[identifier] = step
            continue
        yield _equal(procedure, identifier, step, first[identifier])


def with_anchors(items: Items) -> tuple[Items, tuple[Message, ...]]:
    """The items with every anchor told apart, and what to say where only the order could do it."""
    seen: Counter[str] = Counter()
    messages: list[Message] = []

    def tell_apart(act: Act) -> Act:
        seen[act.anchor] += 1
        times = seen[act.anchor]
        if times == 1:
            return act
        messages.extend(_asks_use_for_id(act))
        return replace(act, anchor=_free(act.anchor, times, seen))

    return change_acts(items, tell_apart), tuple(dict.fromkeys(messages))


def _free(anchor: str, times: int, seen: Counter[str]) -> str:
    named = f"{anchor}{JOINT}{times}"
    while named in seen:
        times += 1
        named = f"{anchor}{JOINT}{times}"
    seen[named] += 1
    return named


def _asks_use_for_id(act: Act) -> Iterator[Message]:
    """A run that is used twice needs an id; equal steps of one procedure are told of by `equal_ids`."""
    uses = [link for link in act.chain if link.kind == "use" and not link.id]
    if uses:
        yield Message(
            "use-needs-id",
            uses[0].place,
            f"'{uses[0].procedure}' is used twice here, so that its steps have the same anchors",
            f"give one of them an id of its own: {{use: {uses[0].procedure}, id: second-{uses[0].procedure}}}",
            "warning",
        )


def _equal(procedure: Procedure, identifier: str, step: Step, other: Step) -> Message:
    related = ((other.place, "the other one"),)
    if step.id and other.id:
        what = f"step '{identifier}' stands twice in '{procedure.id}'"
        return Message("duplicate-step-id", step.place, what, "another id for one of them", "error", related)
    what = f"two steps of '{procedure.id}' would both be '{identifier}'"
    return Message("step-needs-id", step.place, what, "give one of them an id: {id: ..., do: ...}", "warning", related)


def _target(value: object) -> str:
    match value:
        case Wait(of=of):
            return next(iter(of), "")
        case str():
            return value
        case Mapping():
            return str(next(iter(value)))
        case tuple():
            return str(value[0])
    return ""


def _first_words(step: Step) -> str:
    text = step.do.cases[0].value.raw if step.do.cases else ""
    return re.sub(r"<\s*\w+\s+([^<>]*)>", r"\1", text)


def _safe(part: str) -> str:
    return slug(part, 99) or "step"
