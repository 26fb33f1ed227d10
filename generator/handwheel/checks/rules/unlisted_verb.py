"""An instruction that does not begin with what to do.

What it proves:
    Every sentence of `do` and `back` begins with a verb of the list under `verbs:`, with "Do not" or "Never" and
    such a verb, or with a condition, a comma and such a verb.

Why it matters at the bench:
    With a part in one hand, the first word is all that is read. Who reads "The spring" must read on to know whether
    to hold it or to take it off.

Failing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: The lamp is looked at from below.}

Passing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: "Look at the lamp from below. If its lead is taped, stop here."}

How to mend it:
    Turn the sentence round, move what is no action to `ok:`, `why:` or `trap:`, or add the verb to the list.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sentences import INSTRUCTIONS, Sentence, sentences_of
from handwheel.checks.sites import Written
from handwheel.reading.nearest import nearest
from handwheel.records.library import Library

_CONDITION = re.compile(r"(?:if|when|where|once|while|before|after|until|unless|as soon as)\b[^,]*,\s*(?:then )?")
_NOT = re.compile(r"(?:do not|don't|never)\s+")


@rule("note")
def find(library: Library, steps: Sequence[Written]) -> Iterator[Finding]:
    """First words of instructions, where the library has a list of verbs."""
    verbs = {each.name.casefold() for each in library.of("verbs").values()}
    if not verbs:
        return
    for step in steps:
        for sentence in sentences_of(step.step, INSTRUCTIONS):
            if not _listed(sentence, verbs):
                yield _finding(step.subject, sentence, verbs)


def _listed(sentence: Sentence, verbs: set[str]) -> bool:
    words = _NOT.sub("", _CONDITION.sub("", sentence.plain.strip('"“‘(')), count=1)
    found = re.match(r"[^\W\d_]+(?:-[^\W\d_]+)?", words)
    return found is None or found[0] in verbs


def _finding(subject: str, sentence: Sentence, verbs: set[str]) -> Finding:
    first = sentence.words[0] if sentence.words else sentence.raw
    near = nearest(first.casefold(), sorted(verbs))
    return Finding(
        place=sentence.place,
        subject=subject,
        what=f"'{first}' begins an instruction and is no verb of the list",
        right=f"did you mean '{near.capitalize()}'?" if near else "what to do first, or the verb under 'verbs:'",
    )
