"""Which acceptance speaks of which finding."""

from __future__ import annotations

from handwheel.checks.finding import Finding
from handwheel.records.kinds import KINDS
from handwheel.records.work_records import Accepted


def accepts(record: Accepted, finding: Finding) -> bool:
    """Whether the record speaks of the finding: by its subject, or, for a record, by the id alone."""
    kind, _, identifier = finding.subject.partition("/")
    return record.rule == finding.rule and record.of in (finding.subject, identifier if kind in KINDS else "")
