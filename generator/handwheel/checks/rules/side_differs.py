"""A turning direction in the text that the hand of the thread contradicts.

What it proves:
    Where a text says which way a screw or nut is turned, it is the way that the hand of its thread asks for: left to
    undo a right-hand thread and right to tighten it, the other way about for a left-hand one.

Why it matters at the bench:
    A left-hand screw turned the usual way is tightened until it breaks, mostly in a hole that cannot be drilled.

Failing example:
    procedures:
      pivot-off:
        title: Take the winder off
        aim: {apart: [winder]}
        steps:
          - {do: Turn <fasteners pivot-screw> to the left and lift the winder off., removes: [winder]}

Passing example:
    procedures:
      pivot-off:
        title: Take the winder off
        aim: {apart: [winder]}
        steps:
          - {do: Turn <fasteners pivot-screw> to the right and lift the winder off., removes: [winder]}

How to mend it:
    Try the screw, then mend either the text or `hand:` of the fastener. Seen from the head, to the left is
    anticlockwise.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.holding import fasteners_at, plurals, singulars
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.sentences import INSTRUCTIONS, Sentence, sentences_of
from handwheel.checks.sites import Written
from handwheel.records.part_records import Fastener
from handwheel.records.step_records import Step

_TURNED = re.compile(r"\b(?:turn|screw|unscrew|undo|loosen|slacken|tighten|nip|run)\w*\b")
_SIDE = re.compile(r"\bto the (left|right)\b|\b(anticlockwise|counter-?clockwise|anti-clockwise|clockwise)\b")
_IN = re.compile(r"\b(?:in|on|home|tighten\w*|nip\w*|tight|until it (?:holds|bears|seats))\b")
_OUT = re.compile(r"\b(?:out|off|free|undo|loosen|slacken|unscrew|comes?)\b")


@rule("error")
def find(machines: Machines, steps: Sequence[Written]) -> Iterator[Finding]:
    """Sentences that turn something to a side."""
    for step in steps:
        for sentence in sentences_of(step.step, INSTRUCTIONS):
            side = _SIDE.search(sentence.plain)
            if side and _TURNED.search(sentence.plain):
                yield from _judge(machines, step, sentence, side)


def _judge(machines: Machines, step: Written, sentence: Sentence, side: re.Match[str]) -> Iterator[Finding]:
    fastener = _meant(machines, step, sentence)
    undoing = _undoes(sentence, step.step)
    if fastener is None or undoing is None:
        return
    left = side[1] == "left" or (side[1] is None and side[2] != "clockwise")
    wanted_left = undoing == (fastener.hand == "right")
    if left != wanted_left:
        way = "undone" if undoing else "tightened"
        yield Finding(
            place=sentence.place,
            subject=step.subject,
            what=f"'{side[0]}', and '{fastener.id}' has a {fastener.hand}-hand thread, "
            f"{way} to the {'left' if wanted_left else 'right'}",
            right="the other way in the text, or the other 'hand:' in the fastener",
            related=((fastener.where("hand"), f"'{fastener.id}'"),),
        )


def _meant(machines: Machines, step: Written, sentence: Sentence) -> Fastener | None:
    """The fastener that is turned: the one quoted, else one named by its noun; of several only if alike in hand."""
    library = machines.library
    quoted = [library.fasteners[each] for each in sentence.quoted if each in library.fasteners]
    named = quoted or [
        each
        for each in fasteners_at(machines, step)
        if any(re.search(rf"\b{noun}\b", sentence.plain) for noun in (*plurals(each), *singulars(each)))
    ]
    return named[0] if len({each.hand for each in named}) == 1 else None


def _undoes(sentence: Sentence, step: Step) -> bool | None:
    """Whether the sentence undoes: by its words, else by what the step does; None where both ways are meant."""
    before = sentence.plain
    says_in, says_out = bool(_IN.search(before)), bool(_OUT.search(before))
    if says_in != says_out:
        return says_out
    if says_in and says_out:
        return None
    undone, done = bool(step.undoes or step.loosens or step.removes), bool(step.tightens or step.fits or step.sets)
    if undone == done:
        return None
    return undone != (sentence.key == "back")
