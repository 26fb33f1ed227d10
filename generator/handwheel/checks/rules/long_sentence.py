"""A sentence of more than twenty words.

What it proves:
    No sentence of a step's texts has more than twenty words. A quoted name counts as two.

Why it matters at the bench:
    What is longer is read twice, and the second half is done from memory. Instructions for use are held to about
    this length by the guides for technical writing.

Failing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - do: >-
              Look at the lamp and at its lead and at the plug of its lead and at the switch and at the holder and
              at the shade.

Passing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: "Look at the lamp, its lead and the plug. Look at the switch, the holder and the shade."}

How to mend it:
    Make two sentences of it, or move the reason to `why:` and the danger to `trap:`.

Sources:
    ASD-STE100 Simplified Technical English asks for at most 20 words in a sentence of a procedure; from memory, not
    verified.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sentences import sentences_of
from handwheel.checks.sites import Written

MOST = 20


@rule("note")
def find(steps: Sequence[Written]) -> Iterator[Finding]:
    """Long sentences of all texts of steps."""
    for step in steps:
        for sentence in sentences_of(step.step):
            count = len(sentence.words)
            if count > MOST:
                yield Finding(
                    place=sentence.place,
                    subject=step.subject,
                    what=f"a sentence of {count} words in '{sentence.key}'",
                    right=f"two sentences, each of at most {MOST} words",
                )
