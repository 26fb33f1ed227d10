"""A value taken from a long source, without the place in it.

What it proves:
    Where a value of a thread, blade, limit, fastener, setting, oiling point or reading rests on a standard, handbook,
    government publication or paper that was seen, the citation says where in it: page, table, clause.

Why it matters at the bench:
    A figure that looks wrong is looked up again, or it is not. Nobody reads five hundred pages for one torque.

Failing example:
    blades:
      narrow: {name: narrow blade, thickness: 0.5 mm, width: 3 mm, sources: [tips]}
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], blade: narrow}

Passing example:
    blades:
      narrow: {name: narrow blade, thickness: 0.5 mm, width: 3 mm, sources: [{source: tips, at: table 1}]}
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], blade: narrow}

How to mend it:
    Write `{source: .., at: p. 12}` or `at: table 1`. If the place is not known, the source was not seen: say
    `read: second-hand` of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.library import Library
from handwheel.records.values import Citation

_LONG = frozenset(("standard", "handbook", "government publication", "paper"))
_KINDS = ("threads", "blades", "limits", "fasteners", "settings", "oiling_points", "readings")


@rule("note")
def find(library: Library) -> Iterator[Finding]:
    """Citations of records that hold a value."""
    for kind in _KINDS:
        for record in library.of(kind).values():
            for citation in _cited(record):
                source = library.sources[citation.source]
                if not citation.at and source.kind in _LONG and source.read == "seen":
                    yield Finding(
                        place=citation.place,
                        subject=f"{kind}/{record.id}",
                        what=f"'{source.id}' is cited without the place in it",
                        right=f"{{source: {source.id}, at: ..}} with page, table or clause",
                    )


def _cited(record: Any) -> Iterator[Citation]:
    source = getattr(record, "source", None)
    if source is not None:
        yield source
    yield from getattr(record, "sources", ())
