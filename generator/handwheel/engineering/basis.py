"""What a value rests on: the source, the place in it, and how far it was seen.

Memory and common practice may forbid, ask for a test or lower a limit. Only a source that was
seen, a sum worked from one, or a measurement may permit or raise a limit.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Standing(StrEnum):
    """How far a value was verified."""

    SEEN = "seen in the source named"
    PARTLY = "seen in part"
    COMPUTED = "computed from a source that was seen"
    MEASURED = "measured by the shop"
    PRACTICE = "common practice"
    MEMORY = "from memory, not verified"

    @property
    def may_permit(self) -> bool:
        """Whether a value of this standing may permit something or raise a limit.

        >>> Standing.SEEN.may_permit, Standing.MEMORY.may_permit, Standing.PARTLY.may_permit
        (True, False, False)
        """
        return self in (Standing.SEEN, Standing.COMPUTED, Standing.MEASURED)


@dataclass(frozen=True)
class Basis:
    """One citation: where a value comes from and how far it was seen.

    >>> print(Basis("ISO 3448", "table", Standing.SEEN))
    ISO 3448, table (seen in the source named)
    """

    source: str
    locator: str
    standing: Standing
    note: str = ""

    def __str__(self) -> str:
        place = f"{self.source}, {self.locator}" if self.locator else self.source
        note = f"; {self.note}" if self.note else ""
        return f"{place} ({self.standing.value}{note})"
