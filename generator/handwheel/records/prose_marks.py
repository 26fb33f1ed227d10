"""The marks of prose: `<word id>` quotes a value or links to a record, `*words*` stand out, all else is plain text."""

from __future__ import annotations

import re
from collections.abc import Iterator

MARK = re.compile(r"<(?P<word>[a-z]+)(?: (?P<id>[a-z0-9][a-z0-9.-]*))?>|\*(?P<strong>[^*\s](?:[^*]*[^*\s])?)\*")


def ids_in(raw: str) -> Iterator[str]:
    """Ids that a text quotes or links to."""
    return (found["id"] for found in MARK.finditer(raw) if found["id"])
