"""A number with a unit, or a count beside a name, typed into prose.

What it proves:
    No text of a procedure, part, fastener, setting, oiling point or reading holds a number with a unit, or a number
    beside the name of a part or fastener. Such numbers are quoted from the record that keeps them.

Why it matters at the bench:
    A typed number cannot be checked, and it stays as it is when the record is mended. The torque in the table and
    the torque in the step then differ, and the step is what is read with a driver in the hand.

Failing example:
    procedures:
      plate-on:
        title: Fit the side plate
        aim: {fitted: [side-plate]}
        steps:
          - {do: Fit the plate and tighten it to 0.7 N m., fits: [side-plate]}

Passing example:
    procedures:
      plate-on:
        title: Fit the side plate
        aim: {fitted: [side-plate]}
        steps:
          - {do: Fit the plate and tighten <fasteners plate-screw> <tightly plate-screw>., fits: [side-plate]}

How to mend it:
    Quote it: `<tighten screw>`, `<fasteners screw>`, `<count part>`, `<target setting>`, `<limits reading>`,
    `<dose point>`, `<mass part>`. A number that no record keeps yet belongs into one: a setting, a reading, a limit,
    or `wait:` for a time.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from handwheel.checks.bench import Prose
from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sentences import NUMBER, texts_of_step
from handwheel.checks.sites import Written
from handwheel.procedures.wording import name_of, plural_of
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener, PartRecord
from handwheel.records.values import Text

_KINDS = frozenset(("parts", "fasteners", "settings", "oiling_points", "readings", "findings", "choices", "spares"))
_SIGNS = "mm|cm|µm|N ?m|N|kg|mg|g|°C|degC|kV|V|W|mA|A|kΩ|MΩ|Ω|%|bar|MPa|Pa|ml"
_WORDED = (
    "degrees|ohms?|per cent|litres?|seconds?|minutes?|hours?|days?|weeks?|millimetres?|inch|inches|grams?|kilograms?"
    "|newton metres?|newtons?|volts?|watts?|amps?"
)
_FIGURE = r"\d+(?:[.,]\d+)?(?:/\d+)?"
_FIGURE_UNIT = re.compile(rf"(?<![\w.,/-]){_FIGURE}\s?(?:{_SIGNS}|{_WORDED})(?!\w)")
_WORD_UNIT = re.compile(rf"\b(?:half an?|{NUMBER})\s(?:{_WORDED})\b")
_WORDS = re.compile(rf"\b(?:half|{NUMBER})\b")


@rule()
def find(library: Library, texts: Sequence[Prose], steps: Sequence[Written]) -> Iterator[Finding]:
    """Numbers in texts that are read at the bench."""
    names = _names(library)
    for step in steps:
        for _, text in texts_of_step(step.step):
            yield from _in(step.subject, text, names)
    for prose in texts:
        if prose.kind in _KINDS:
            yield from _in(prose.subject, prose.text, names)


def _in(subject: str, text: Text, names: re.Pattern[str]) -> Iterator[Finding]:
    if not any(each.isdigit() for each in text.raw) and not _WORDS.search(text.raw.casefold()):
        return
    for pattern, what in (
        (_FIGURE_UNIT, "a number with a unit"),
        (_WORD_UNIT, "a number with a unit"),
        (names, "a count beside a name"),
    ):
        for found in pattern.finditer(text.raw if pattern is _FIGURE_UNIT else text.raw.casefold()):
            yield Finding(
                place=text.place,
                subject=subject,
                what=f"'{found[0]}' is {what} typed into the text",
                right="the value quoted from its record, as in <fasteners ..>, <target ..> or <limits ..>",
            )


def _names(library: Library) -> re.Pattern[str]:
    records: tuple[PartRecord | Fastener, ...] = (*library.parts.values(), *library.fasteners.values())
    told = {name.casefold() for each in records for name in (plural_of(each), name_of(each))}
    listed = "|".join(re.escape(name) for name in sorted(told, key=lambda name: (-len(name), name)))
    return re.compile(rf"\b{NUMBER}\s+(?:{listed})\b") if told else re.compile(r"(?!)")
