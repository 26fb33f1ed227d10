"""A screw whose thread nobody has verified.

What it proves:
    The thread of every fastener of the shop was read in its source, or measured by the shop.

Why it matters at the bench:
    The special inch threads of sewing machines are known from hearsay. A tap or a new screw of a thread that nearly
    fits ruins the hole.

Failing example:
    threads:
      hearsay: {name: M4, form: 60 degree, diameter: 4 mm, pitch: 0.7 mm, source: memory}
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], thread: hearsay}

Passing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], thread: m4}

How to mend it:
    Measure diameter and pitch of the screw. Write a thread of the shop's own with the measurement as its source, and
    `verified: true`.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.library import Library


@rule("note")
def find(library: Library) -> Iterator[Finding]:
    """Fasteners by what their threads rest on."""
    for fastener in library.fasteners.values():
        for case in fastener.thread.cases if fastener.thread else ():
            thread = library.threads[case.value]
            measured = thread.source is not None and library.sources[thread.source.source].kind == "shop measurement"
            if not thread.verified and not measured:
                yield Finding(
                    place=case.place,
                    subject=f"fasteners/{fastener.id}",
                    what=f"the thread '{thread.name}' of '{fastener.id}' is unverified",
                    right="diameter and pitch measured, and a thread that cites the measurement",
                    related=((thread.place, f"'{thread.id}'"),),
                )
