"""A step with more in it than one tick can stand for.

What it proves:
    What a step tells to do takes at most three sentences.

Why it matters at the bench:
    A step is ticked when it is done. Half of a long one is done when the telephone rings, and the tick cannot say
    which half.

Failing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp. Look at its lead. Look at the plug. Look at the shade.}

Passing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp. Look at its lead.}
          - {do: Look at the plug. Look at the shade.}

How to mend it:
    Make two steps of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sentences import INSTRUCTIONS, sentences_in, texts_of_step
from handwheel.checks.sites import Written

MOST = 3


@rule("note")
def find(steps: Sequence[Written]) -> Iterator[Finding]:
    """Instructions by their number of sentences."""
    for step in steps:
        for key, text in texts_of_step(step.step, INSTRUCTIONS):
            count = len(sentences_in(text.raw))
            if count > MOST:
                yield Finding(
                    place=text.place,
                    subject=step.subject,
                    what=f"{count} sentences in '{key}' for one tick",
                    right=f"two steps, each of at most {MOST} sentences",
                )
