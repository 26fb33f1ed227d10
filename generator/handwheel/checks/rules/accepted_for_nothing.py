"""An acceptance that matches no finding.

What it proves:
    Every entry under `accepted:` names a rule that may be accepted, and a record or step in which that rule finds
    something now.

Why it matters at the bench:
    The reason for it is gone, or it was never matched. It would then silence the next finding in the same place,
    which may be quite another one.

Failing example:
    accepted:
      jig-order: {rule: long-sentence, of: lamp-look/lamp-seen, why: The order is fixed by the jig.}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {id: lamp-seen, do: Look at the lamp.}

Passing example:
    accepted:
      jig-order: {rule: several-ticks, of: lamp-look/lamp-seen, why: All four are one look.}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {id: lamp-seen, do: Look at the lamp. Look at its lead. Look at the plug. Look at the shade.}

How to mend it:
    Take the entry out, or mend `rule:` or `of:`. A safety rule, and the rule on alternatives, cannot be accepted.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from handwheel.checks.accepting import accepts
from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.reading.nearest import nearest
from handwheel.records.library import Library
from handwheel.records.work_records import Accepted


@rule()
def find(library: Library, findings: Sequence[Finding], rules: Mapping[str, Any]) -> Iterator[Finding]:
    """Entries under `accepted:` against what was found."""
    for record in library.of("accepted").values():
        told = _wrong(record, findings, rules)
        if told:
            what, right, key = told
            yield Finding(place=record.where(key), subject=f"accepted/{record.id}", what=what, right=right)


def _wrong(record: Accepted, findings: Sequence[Finding], rules: Mapping[str, Any]) -> tuple[str, str, str] | None:
    if record.rule not in rules:
        near = nearest(record.rule, rules)
        return f"there is no rule '{record.rule}'", f"did you mean '{near}'?" if near else "the id of a rule", "rule"
    if rules[record.rule].fixed:
        return f"findings of '{record.rule}' cannot be accepted", "the finding mended", "rule"
    if not any(accepts(record, finding) for finding in findings):
        places = sorted({finding.subject for finding in findings if finding.rule == record.rule})
        right = f"'of:' one of {', '.join(places[:3])}" if places else "the entry taken out"
        return f"'{record.rule}' finds nothing in '{record.of}'", right, "of"
    return None
