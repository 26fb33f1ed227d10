"""What must stand behind a record's name wherever it shows."""

from __future__ import annotations

from handwheel.records.library_records import Thread

UNVERIFIED = " (unverified)"


def mark_of(record: object) -> str:
    """The mark of a thread that nobody verified, else nothing.

    A thread known from memory that is taken for a known one ruins the hole that it is tried in.
    """
    return UNVERIFIED if isinstance(record, Thread) and not record.verified else ""
