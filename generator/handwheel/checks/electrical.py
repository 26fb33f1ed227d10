"""What is electrical in fact: parts by what else is told of them, steps by what their texts take hold of."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from handwheel.checks.holding import fasteners_of
from handwheel.checks.sentences import INSTRUCTIONS, texts_of_step
from handwheel.checks.sites import Written
from handwheel.procedures.hazards import natures_of
from handwheel.procedures.presence import holders
from handwheel.procedures.wording import joined, name_of, plural_of
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener, PartRecord
from handwheel.records.step_records import Step
from handwheel.records.values import Text

_CONTACTS = ("plug", "terminal")
"""Kinds of fasteners that carry current."""
_HANDS = frozenset(("loosens", "undoes", "tightens", "removes", "fits", "renews", "cleans", "heats"))
"""Effects that bring a hand, a driver or a cloth to a part."""
_BESIDE = _HANDS | {"sets", "lifts"}
"""Effects that a verb of these may have besides."""
_MARK = r"<(?:parts?|fasteners?) (?P<id>[a-z0-9-]+)>"
_GOES_ON = (
    "after", "again", "against", "all", "along", "and", "as", "at", "away", "back", "before", "by", "down", "for",
    "forward", "from", "in", "inside", "into", "lightly", "off", "on", "onto", "or", "out", "outside", "over", "round",
    "so", "through", "to", "toward", "under", "until", "up", "when", "while", "with",
)  # fmt: skip
"""Words after which a name is over; after another, as in "lamp slot", it was part of a longer one."""
_END = rf"(?=\s*(?:[.,;:!?]|$|(?:{'|'.join(_GOES_ON)})\b))"


def electrical_in_fact(library: Library, part: PartRecord) -> str:
    """Why the part is electrical, by what else is told of it; empty where nothing says so."""
    if part.powers:
        return "moves the works under power"
    if part.watts:
        return "takes watts from the mains"
    held = [each for each in holders(library).get(part.id, ()) if library.fasteners[each].kind in _CONTACTS]
    return f"is held by {joined(held)}, which carries current" if held else ""


def untold(library: Library, step: Written) -> tuple[tuple[Text, str], ...]:
    """What a step's texts take hold of, where none of its effects does: each text with the name in it."""
    if any(_hands_on(library, done) for done in step.done):
        return ()
    return tuple(_takes_hold(library, step.step))


def _hands_on(library: Library, step: Step) -> bool:
    """Whether the step tells of hands on something electrical, or deals with the supply itself."""
    if step.isolates or step.restores or natures_of(library, step) & {"electrical work", "live work"}:
        return True
    return any(_carries(library, each.id) for each in fasteners_of(library, step))


def _takes_hold(library: Library, step: Step) -> Iterator[tuple[Text, str]]:
    """Texts of a step that take hold of something electrical, with its name."""
    pattern, named = _pattern(library)
    for _, text in texts_of_step(step, INSTRUCTIONS) if named else ():
        for found in pattern.finditer(text.raw):
            thing = found["id"]
            if thing is None:
                yield text, found["name"]
            elif thing in named:
                yield text, thing


def _brings_hands(effects: Sequence[str]) -> bool:
    return not _HANDS.isdisjoint(effects) and _BESIDE.issuperset(effects)


def _carries(library: Library, fastener: str) -> bool:
    return any(library.parts[part].electrical for part in library.fasteners[fastener].holds)


@lru_cache(maxsize=8)
def _pattern(library: Library) -> tuple[re.Pattern[str], frozenset[str]]:
    """A verb of the shop that brings hands to something, then a mark or a name of something electrical."""
    parts = [part for part in library.parts.values() if part.electrical]
    fasteners = [each for each in library.fasteners.values() if _carries(library, each.id)]
    every: tuple[PartRecord | Fastener, ...] = (*parts, *fasteners)
    names = {name for each in every for name in (name_of(each), plural_of(each), each.id.replace("-", " "))}
    verbs = [each.name for each in library.of("verbs").values() if _brings_hands(each.effects)]
    either = "|".join(re.escape(name) for name in sorted(names, key=lambda name: (-len(name), name)) if name)
    verb = "|".join(map(re.escape, sorted(verbs))) or "(?!)"
    what = rf"(?:{_MARK}|(?P<name>{either or '(?!)'}){_END})"
    pattern = re.compile(rf"\b(?:{verb})\s+(?:the |both |all |its |each )?{what}", re.IGNORECASE)
    return pattern, frozenset(each.id for each in every)
