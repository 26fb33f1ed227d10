"""A resolved procedure as plain maps and lists, for JSON, and as lines for a terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from handwheel.machines.conditions import Is
from handwheel.machines.masks import VARIANT
from handwheel.machines.truth import Always, Contradiction, Depends, Never, Truth
from handwheel.procedures.judge import Option, Settled, Verdict
from handwheel.procedures.prose import Emphasis, Piece, Plain, Quoted, plain_text
from handwheel.procedures.resolved import (
    Alternatives,
    Group,
    Prose,
    Reaching,
    Reason,
    Repeated,
    Resolved,
    ResolvedItem,
    ResolvedStep,
)
from handwheel.procedures.wording import condition_words, joined, name_of, name_of_question
from handwheel.records.library import Library

Dict = dict[str, Any]

LISTED = ("tools", "supplies", "figures", "cautions")
"""Keys of a step that name records; shown where they hold something."""
INDENT = "   "
REACHED = "what is in front comes off first and goes back last; what was off before stays off"
"""What is said of all steps that reach a part."""


def as_dict(library: Library, resolved: Resolved) -> Dict:
    """The procedure as maps, lists, texts and numbers."""
    return {
        "procedure": resolved.procedure,
        "title": resolved.title,
        "family": resolved.family,
        **verdict_dict(library, resolved.verdict),
        "items": [_item(library, each) for each in resolved.items],
    }


def verdict_dict(library: Library, verdict: Verdict) -> Dict:
    """`holds`, the looks that settle it, and what a step has to ask first."""
    found: Dict = {"holds": _word(verdict.truth)}
    if isinstance(verdict.truth, Depends | Contradiction):
        found["looks"] = [look_of(library, each) for each in verdict.truth.looks]
    if verdict.asked is not None:
        found["asked"] = condition_words(library, verdict.asked)
    return found


def as_lines(library: Library, resolved: Resolved) -> Iterator[str]:
    """The procedure as lines of text, its steps numbered."""
    yield resolved.title
    if not resolved.items:
        yield f"{INDENT}{_nothing(library, resolved)}"
    elif not resolved.verdict.settled:
        yield f"{INDENT}{_looks_line(library, resolved.verdict)}"
    yield from _lines(library, resolved.items, "", _Count())


def _item(library: Library, item: ResolvedItem) -> Dict:
    match item:
        case ResolvedStep():
            return _step(library, item)
        case Group():
            return {"form": "group", **_group(library, item)}
        case Alternatives(question, kind, arms):
            arms_ = [_group(library, arm) for arm in arms]
            return {"form": "alternatives", "question": question, "kind": kind, "arms": arms_}
        case Repeated(until, at_most, items, otherwise):
            lists = {"items": items, "otherwise": otherwise}
            held = {name: [_item(library, each) for each in listed] for name, listed in lists.items()}
            return {"form": "repeat", "until": until, "at_most": at_most, **held}
        case Reaching(parts, items):
            return {"form": "reach", "parts": list(parts), "items": [_item(library, each) for each in items]}


def _group(library: Library, group: Group) -> Dict:
    return {
        "if": group.words,
        **verdict_dict(library, group.verdict),
        "states": list(group.states),
        "items": [_item(library, each) for each in group.items],
    }


def _step(library: Library, step: ResolvedStep) -> Dict:
    texts = {"do": step.do, "why": step.why, "ok": step.ok, "trap": step.trap, "if_not": step.otherwise}
    return {
        "form": "step",
        "id": step.id,
        "anchor": step.anchor,
        "mirrored": step.act.mirrored,
        "unless_apart": step.act.unless_apart,
        **verdict_dict(library, step.verdict),
        **({"because": _reason(step.reason)} if step.reason else {}),
        **{name: _prose(library, text) for name, text in texts.items() if text is not None},
        **{name: list(getattr(step.act.step, name)) for name in LISTED if getattr(step.act.step, name)},
    }


def _reason(reason: Reason) -> Dict:
    return {"words": reason.words, "variants": {name: "all" if whole else "some" for name, whole in reason.variants}}


def _prose(library: Library, prose: Prose) -> list[Dict]:
    return _options(
        library,
        prose,
        lambda text: {"text": plain_text(library, text), "pieces": [_piece(library, piece) for piece in text]},
    )


def _piece(library: Library, piece: Piece) -> Dict:
    match piece:
        case Plain(text):
            return {"text": text}
        case Emphasis(pieces):
            return {"emphasis": [_piece(library, each) for each in pieces]}
        case Quoted(mark, kind, identifier, texts):
            values = _options(library, texts, lambda text: {"text": text})
            return {"mark": mark, "kind": kind, "id": identifier, "values": values}


def _options(library: Library, settled: Settled[Any], value: Callable[[Any], Dict]) -> list[Dict]:
    return [{**value(each.value), **_when(library, each)} for each in settled.options]


def _when(library: Library, option: Option[Any]) -> Dict:
    if option.verdict.settled:
        return {}
    return {"if": condition_words(library, option.condition), **verdict_dict(library, option.verdict)}


def _word(truth: Truth) -> str:
    match truth:
        case Always():
            return "always"
        case Never():
            return "never"
        case Depends():
            return "depends"
        case Contradiction():
            return "contradiction"


class _Count:
    """Numbers steps as they are shown; the numbers are display only."""

    def __init__(self) -> None:
        self.last = 0

    def next(self) -> int:
        self.last += 1
        return self.last


def _lines(library: Library, items: tuple[ResolvedItem, ...], indent: str, count: _Count) -> Iterator[str]:
    for item in items:
        match item:
            case ResolvedStep():
                yield from _step_lines(library, item, indent, count)
            case Group():
                yield from _look_lines(library, (item,), indent)
                yield from _arm_lines(library, item, indent, count)
            case Alternatives(arms=arms):
                yield from _look_lines(library, arms, indent)
                for arm in arms:
                    yield from _arm_lines(library, arm, indent, count)
            case Repeated(until, at_most, held, otherwise):
                yield f"{indent}Repeat until {until}, at most {at_most} times:"
                yield from _lines(library, held, indent + INDENT, count)
                if otherwise:
                    yield f"{indent}If it is still not so:"
                    yield from _lines(library, otherwise, indent + INDENT, count)
            case Reaching(parts, held):
                names = joined(name_of(library.parts[part], "parts") for part in parts)
                yield f"{indent}Reach the {names}: {REACHED}:"
                yield from _lines(library, held, indent + INDENT, count)


def _look_lines(library: Library, groups: tuple[Group, ...], indent: str) -> Iterator[str]:
    lines = (_looks_line(library, each.verdict) for each in groups if isinstance(each.verdict.truth, Depends))
    yield from (indent + line for line in dict.fromkeys(lines))


def _arm_lines(library: Library, group: Group, indent: str, count: _Count) -> Iterator[str]:
    yield f"{indent}If {group.words}:{'' if group.items else ' nothing to do.'}"
    yield from _lines(library, group.items, indent + INDENT, count)


def _step_lines(library: Library, step: ResolvedStep, indent: str, count: _Count) -> Iterator[str]:
    number = f"{count.next()}. "
    inner = indent + " " * len(number)
    asked = f"If {condition_words(library, step.verdict.asked)}: " if step.verdict.asked is not None else ""
    texts = list(_prose_lines(library, step.do)) or ["(no words for this machine)"]
    yield f"{indent}{number}{asked}{texts[0]}"
    yield from (inner + text for text in texts[1:])
    if isinstance(step.verdict.truth, Depends):
        condition = condition_words(library, step.act.condition)
        yield f"{inner}Only if {condition}. {_looks_line(library, step.verdict)}"
    if step.act.unless_apart:
        yield f"{inner}(Left out when it is off already.)"
    for label, prose in (("Right", step.ok), ("Mind", step.trap), ("If not", step.otherwise), ("Why", step.why)):
        yield from (f"{inner}{label}: {text}" for text in (_prose_lines(library, prose) if prose else ()))


def _prose_lines(library: Library, prose: Prose) -> Iterator[str]:
    for option in prose.options:
        text = plain_text(library, option.value)
        yield text if option.verdict.settled else f"({condition_words(library, option.condition, True)}) {text}"


def _looks_line(library: Library, verdict: Verdict) -> str:
    looks = verdict.truth.looks if isinstance(verdict.truth, Depends | Contradiction) else ()
    return f"Look first: {'; '.join(look_of(library, each)['ask'] for each in looks)}"


def _nothing(library: Library, resolved: Resolved) -> str:
    match resolved.verdict.truth:
        case Contradiction(looks):
            named = joined(look_of(library, each)["ask"] for each in looks)
            return f"No machine shows all this. Look again: {named}" if named else "There is no such machine."
        case Never():
            return "This machine does not have it."
        case _:
            return "Nothing to do on this machine."


def look_of(library: Library, look: str) -> Dict:
    """A look still to be taken: its id, and the question that it answers."""
    if look == VARIANT:
        return {"id": look, "ask": "Which variant is it?"}
    feature = library.features.get(look)
    return {"id": look, "ask": (feature.ask or name_of_question(feature)) if feature else _cut_ask(library, look)}


def _cut_ask(library: Library, look: str) -> str:
    """The question that a year or a serial number makes."""
    words = condition_words(library, Is(look, frozenset(("yes",))))
    return f"{words[:1].upper()}{words[1:]}?"
