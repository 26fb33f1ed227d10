"""A mark in the text that quotes nothing.

What it proves:
    Every `<word id>` in every text leads to a record of the right kind, and that record tells the value quoted.

Why it matters at the bench:
    A mark that leads nowhere is printed as it stands, just where a torque or a name was meant to be.

Failing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at <part lampp>.}

Passing example:
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at <part lamp>.}

How to mend it:
    Take the id that is offered, tell the value in the record, or write plain text without the mark.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.bench import Prose
from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.procedures.prose_check import check_text
from handwheel.records.library import Library
from handwheel.records.work_records import Procedure


@rule("error")
def find(library: Library, texts: Sequence[Prose]) -> Iterator[Finding]:
    """What the prose check says of each text."""
    for prose in texts:
        if "<" not in prose.text.raw:
            continue
        takes = prose.record.takes if isinstance(prose.record, Procedure) else ()
        for told in check_text(library, prose.text, takes):
            yield Finding(place=told.place, subject=prose.subject, what=told.what, right=told.right)
