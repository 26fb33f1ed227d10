"""Two sources that give different values for one thing.

What it proves:
    Where a record tells what another source gives for one of its values, both agree within the digits written, or the
    shop says why it sets the other aside. A value that rests on memory or common practice alone may not be set above
    one that was read or measured, whatever is said.

Why it matters at the bench:
    Two books, two figures: whoever finds the other one later must see that it was known, and why this one stands.

Failing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], thread: m4, length: 8 mm, grip: 2 mm, hole_depth: 8 mm, slot_length: 7 mm, tighten: 0.7 N m, source: bench-notes, also_told: [{of: tighten, value: 0.9 N m, source: {source: sizes, at: table 7}}]}

Passing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], thread: m4, length: 8 mm, grip: 2 mm, hole_depth: 8 mm, slot_length: 7 mm, tighten: 0.7 N m, source: bench-notes, also_told: [{of: tighten, value: 0.9 N m, source: {source: sizes, at: table 7}, set_aside: It is for a new casting.}]}

How to mend it:
    Look both up again. Follow the better one, and say under `set_aside` why the other is not followed.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.evidence.also import Compared, compared_with, standing_here
from handwheel.evidence.verdict import Outcome
from handwheel.machines.conditions import ALWAYS
from handwheel.machines.reduce import conjunction
from handwheel.records.kinds import Record
from handwheel.records.library import Library
from handwheel.records.library_records import Limit


@rule()
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Each value that another source gives, on machines that have both."""
    for kind, record in library:
        for each in compared_with(library, record):
            when = each.also.when.condition if each.also.when else ALWAYS
            if machines.anywhere(conjunction((when, each.condition))):
                yield from _judged(library, kind, record, each)


def _judged(library: Library, kind: str, record: Record, each: Compared) -> Iterator[Finding]:
    of, other = each.also.of, library.sources[each.also.source.source].title
    if each.outcome is Outcome.UNCHECKED:
        yield _finding(kind, record, each, f"cannot be compared: {each.says}", "a key and a unit of the value itself")
    elif each.outcome is Outcome.DIFFERS and each.also.set_aside is None:
        sums = "; ".join(each.arithmetic)
        what = f"'{of}' of '{record.id}' and '{other}' differ {each.says} ({sums})"
        yield _finding(
            kind, record, each, what, "'set_aside:' with the reason why the shop follows its own, or the other"
        )
    elif each.outcome is Outcome.DIFFERS and _permits_more(record, each):
        own = standing_here(library, record)
        if each.standing.may_permit and not own.may_permit:
            what = f"'{of}' of '{record.id}' ({own.words}) permits more than '{other}', and differs {each.says}"
            yield _finding(kind, record, each, what, "the value of the source that was read or measured")


_MORE_PERMITS = frozenset(("tighten", "heat_limit"))
"""Values of which more permits more."""


def _permits_more(record: Record, each: Compared) -> bool:
    """Whether the shop's own value permits more than the other source's."""
    if isinstance(record, Limit):
        return each.raises == (record.sense == "at most")
    return each.raises and each.also.of in _MORE_PERMITS


def _finding(kind: str, record: Record, each: Compared, what: str, right: str) -> Finding:
    own = record.where(each.also.of)
    return Finding(
        place=each.also.where("value"), subject=f"{kind}/{record.id}", what=what, right=right,
        related=((own, "the value that the shop follows"),),
    )  # fmt: skip
