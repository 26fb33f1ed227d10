"""A figure without words for those who do not see it.

What it proves:
    The `alt:` of every figure says what it shows in at least three words, and is not its caption or file name again.

Why it matters at the bench:
    With a torch in one hand the page may be read out, and a figure that is called "winder" says nothing.

Failing example:
    figures:
      lamp-front: {file: figures/lamp.svg, alt: lamp, caption: Lamp from the front}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp., figures: [lamp-front]}

Passing example:
    figures:
      lamp-front: {file: figures/lamp.svg, alt: A lamp on a bracket beside the pillar., caption: Lamp from the front}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lamp., figures: [lamp-front]}

How to mend it:
    Say in a sentence what the figure shows that the step needs.

Sources:
    WCAG 2.2, success criterion 1.1.1, non-text content.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.library import Library

LEAST = 3


@rule()
def find(library: Library) -> Iterator[Finding]:
    """The words of each figure."""
    for figure in library.of("figures").values():
        alt = figure.alt.strip()
        if len(alt.split()) < LEAST or alt.casefold() in (figure.caption.casefold(), figure.file.casefold()):
            yield Finding(
                place=figure.where("alt"),
                subject=f"figures/{figure.id}",
                what=f"'alt: {alt}' does not say what the figure shows",
                right="a sentence that says what is seen",
            )
