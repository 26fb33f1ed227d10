"""Several of something, and no plural to call them by.

What it proves:
    A part or fastener of which there are several has a `plural:` where an s at the end of its name does not make one.

Why it matters at the bench:
    "Undo 2 screw of the blocks" is read twice, and once more to see whether it is one screw or one block.

Failing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: screw of the end cover, count: 2, holds: [end-cover]}

Passing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: screw of the end cover, plural: screws of the end cover, count: 2, holds: [end-cover]}

How to mend it:
    Say `plural:`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.procedures.wording import name_of
from handwheel.records.library import Library

_NO_S = re.compile(r" (?:of|in|at|on|with|for|to) |(?:s|x|z|ch|sh|[^aeiou]y)$", re.IGNORECASE)


@rule("note")
def find(library: Library) -> Iterator[Finding]:
    """Names of what is counted."""
    for kind in ("parts", "fasteners"):
        for record in library.of(kind).values():
            name = name_of(record, kind)
            if record.count > 1 and not record.plural and _NO_S.search(name):
                yield Finding(
                    place=record.where("count"),
                    subject=f"{kind}/{record.id}",
                    what=f"there are {record.count}, and '{name}' makes no plural with an s",
                    right="plural: with the name of several",
                )
