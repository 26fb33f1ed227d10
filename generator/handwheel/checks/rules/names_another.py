"""A text that undoes or tightens a fastener that the step does not touch.

What it proves:
    A fastener that an instruction tells to undo, loosen or tighten is one that the step's effects touch: named under
    `loosens`, `undoes` or `tightens`, holding a part that is removed or fitted, or holding a setting that is set.

Why it matters at the bench:
    The text sends the driver to one screw and the record speaks of another: blade, tightening and the settings that
    are lost are then told of the wrong one.

Failing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners pivot-screw> and lift the plate off., removes: [side-plate]}

Passing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}

How to mend it:
    Quote the fastener that holds the part, or add the one quoted under `loosens:`, `undoes:` or `tightens:`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from handwheel.checks.finding import Finding
from handwheel.checks.holding import fasteners_at
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.sentences import INSTRUCTIONS, Sentence, sentences_of
from handwheel.checks.sites import Written
from handwheel.procedures.wording import joined, name_of, plural_of
from handwheel.records.library import Library

_VERB = r"\b(?:undo|loosen|slacken|unscrew|tighten|nip)\s+"
_MARKS = re.compile(rf"{_VERB}((?:<fasteners? [^<>]+>(?:,? and |, | or )?)+)", re.IGNORECASE)
_ID = re.compile(r"<fasteners? ([^<>]+)>")


@rule("error")
def find(library: Library, machines: Machines, steps: Sequence[Written]) -> Iterator[Finding]:
    """Fasteners after a verb of undoing or tightening, quoted or by name."""
    names = _names(library)
    for step in steps:
        touched = {each.id for each in fasteners_at(machines, step)}
        if not touched:
            continue
        for sentence in sentences_of(step.step, INSTRUCTIONS):
            for said, meant in _told(sentence, names):
                if meant.isdisjoint(touched):
                    yield _finding(library, step, sentence, said, touched)


def _told(sentence: Sentence, names: dict[str, frozenset[str]]) -> Iterator[tuple[str, frozenset[str]]]:
    for run in _MARKS.finditer(sentence.raw):
        for found in _ID.finditer(run[1]):
            if not found[1].startswith("$"):
                yield found[0], frozenset((found[1],))
    if re.search(_VERB, sentence.plain):
        for found in re.finditer(rf"{_VERB}(?:the |both |all |its )?([a-z][a-z ,-]*)", sentence.plain):
            name = next((each for each in names if re.match(rf"{re.escape(each)}\b", found[1])), "")
            if name:
                yield name, names[name]


def _finding(library: Library, step: Written, sentence: Sentence, said: str, touched: set[str]) -> Finding:
    ids = sorted(touched)
    return Finding(
        place=sentence.place,
        subject=step.subject,
        what=f"'{said}' is not what the step touches: {joined(ids, 'or')}",
        right=f"<fasteners {ids[0]}>, or the fastener under 'loosens:', 'undoes:' or 'tightens:'",
        related=tuple((library.fasteners[each].place, f"'{each}'") for each in ids),
    )


@lru_cache(maxsize=8)
def _names(library: Library) -> dict[str, frozenset[str]]:
    """Name in small letters, longest first -> the fasteners that bear it."""
    found: dict[str, set[str]] = {}
    for each in library.fasteners.values():
        for name in (name_of(each), plural_of(each)):
            found.setdefault(name.casefold(), set()).add(each.id)
    return {name: frozenset(found[name]) for name in sorted(found, key=lambda name: (-len(name), name))}
