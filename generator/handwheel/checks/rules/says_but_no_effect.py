"""A step that says what it does to the machine and does not tell it.

What it proves:
    A step that begins with a verb of taking off, putting on, loosening, tightening, oiling, renewing or cutting the
    supply has such an effect, where other steps of its procedure have effects. Steps of a procedure that is words
    only are left alone, and so is a step that both loosens and tightens. Where it is something electrical, a rule of
    its own says so.

Why it matters at the bench:
    The page then says that the part is still on, what the screw holds is not told of as lost, and no refit asks for
    it. Everything that is proven after that step is proven of another machine.

Failing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}
          - {do: Oil the shaft.}

Passing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}
          - {do: Oil the shaft., lubricates: [shaft-point]}

How to mend it:
    Add the effect that the verb speaks of, or take another verb where nothing of the machine changes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from handwheel.checks.electrical import untold
from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sentences import sentences_of
from handwheel.checks.sites import Written
from handwheel.procedures.wording import joined
from handwheel.records.library import Library
from handwheel.records.step_records import EFFECTS, Step

_PLAIN = frozenset(
    ("isolates", "restores", "loosens", "undoes", "removes", "renews", "lubricates", "fits", "tightens", "heats")
)
"""Effects that a verb cannot speak of by chance."""
_BESIDE = frozenset(("sets", "lifts", "takes_in", "runs", "cleans"))
"""Effects that such a verb may have besides."""
_ROUND = (re.compile(r"\b(?:loosen|slacken|undo)\b"), re.compile(r"\b(?:tighten|nip)\b"))


@rule()
def find(library: Library, steps: Sequence[Written]) -> Iterator[Finding]:
    """First verbs of steps against their effects."""
    verbs = {each.name.casefold(): frozenset(each.effects) for each in library.of("verbs").values()}
    told = {step.procedure.id for step in steps if step.acts_on_something}
    for step in steps:
        if step.procedure.id in told and not untold(library, step):
            yield from _judge(step, verbs)


def _judge(step: Written, verbs: Mapping[str, frozenset[str]]) -> Iterator[Finding]:
    has = frozenset(effect for effect in EFFECTS if getattr(step.step, effect))
    first = next(iter(sentences_of(step.step, ("do",))), None)
    if first is None or not first.words:
        return
    verb = first.words[0].casefold()
    speaks = verbs.get(verb, frozenset())
    if not speaks & _PLAIN or not speaks <= _PLAIN | _BESIDE or speaks & has or _goes_round(step.step):
        return
    if has and any(verbs.get(word.casefold(), frozenset()) & has for word in first.words):
        return
    beside = f", and the step has {joined(sorted(has))}" if has else ", and the step has no effect"
    yield Finding(
        place=first.place,
        subject=step.subject,
        what=f"'{first.words[0]}' speaks of {joined(sorted(speaks), 'or')}{beside}",
        right=f"{joined((f'{each}: [..]' for each in sorted(speaks & _PLAIN)), 'or')} in the step, or another verb",
    )


def _goes_round(step: Step) -> bool:
    """Whether it loosens and tightens again, so that nothing is left changed."""
    said = " ".join(sentence.plain for sentence in sentences_of(step, ("do",)))
    return all(pattern.search(said) for pattern in _ROUND)
