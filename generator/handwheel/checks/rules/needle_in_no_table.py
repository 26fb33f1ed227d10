"""A size of needle that is in no table.

What it proves:
    Metric and trade number of every needle belong together, the diameters of blade and shank are those of the
    standard, within what a sound needle may measure, and every size that a text names in figures, such as 'needle
    90/14', is a pair of the table.

Why it matters at the bench:
    A pack is bought by its number. A number that does not exist sends somebody away with the wrong needle, and a needle
    too thick strikes the hook.

Failing example:
    needles:
      middle: {name: 90/15, metric: 90, number: 15, sources: [sizes]}
    terms:
      sample: {name: sample, means: A seam to look at.}

Passing example:
    needles:
      middle: {name: 90/14, metric: 90, number: 14, blade: 0.92 mm, sources: [sizes]}
    terms:
      sample: {name: sample, means: A seam to look at.}

How to mend it:
    Look at the pack: both numbers stand on it. Measure the blade above the scarf.

Sources:
    JIS B 9012:2000 for the diameters of numbers 7 to 16 and for the shank; number = 8 + (Nm - 60)/5 below 19, after a
    published page on needle numbering; the pair 120/19 partly from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from handwheel.checks.bench import Prose
from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.engineering.needles import SIZES
from handwheel.evidence.needles import needle_verdicts
from handwheel.evidence.verdict import Outcome
from handwheel.records.library import Library

_KEYS = {"Number": "number", "Blade": "blade", "Shank": "shank"}
_TYPED = re.compile(r"\b(?:needles?|Nm)\s+(?:of\s+)?(?:size\s+)?(\d{2,3})\s*/\s*(\d{1,2})\b", re.IGNORECASE)
_PAIRS = frozenset((size.metric, size.number) for size in SIZES)


@rule()
def find(library: Library, texts: Sequence[Prose]) -> Iterator[Finding]:
    """Needles against the table, and sizes typed into texts."""
    for record in library.needles.values():
        for verdict in needle_verdicts(library, record):
            if verdict.outcome is Outcome.DIFFERS:
                yield Finding(
                    place=record.where(_KEYS[verdict.what]),
                    subject=f"needles/{record.id}",
                    what=f"{verdict.what.casefold()} {verdict.value} of '{record.name}' differs {verdict.says}",
                    right="the numbers on the pack, and the blade measured above the scarf",
                )
    for prose in texts:
        for found in _TYPED.finditer(prose.text.raw):
            if (int(found[1]), int(found[2])) not in _PAIRS:
                yield Finding(
                    place=prose.text.place,
                    subject=prose.subject,
                    what=f"'{found[0]}' names no size of needle; there are {', '.join(map(str, SIZES))}",
                    right="a size of the table, quoted as <needle id>",
                )
