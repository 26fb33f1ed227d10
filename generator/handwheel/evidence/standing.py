"""How far a source carries what rests on it.

Memory, hearsay and common practice may forbid, ask for a test or lower a limit. They never permit and never raise one.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum

from handwheel.records.library import Library
from handwheel.records.library_records import Source
from handwheel.records.values import Citation

PUBLISHED = ("standard", "handbook", "government publication", "leaflet", "paper")


class Standing(Enum):
    """How far a value was verified: in words, and whether it may permit something or raise a limit."""

    SEEN = ("read in the source itself", True)
    MEASURED = ("measured by the shop", True)
    SECOND_HAND = ("read at second hand", True)
    TOLD = ("told by another restorer", False)
    NOT_SEEN = ("the source was not seen", False)
    PRACTICE = ("common practice", False)
    MEMORY = ("from memory", False)
    INVENTED = ("invented for this demonstration", False)
    NONE = ("no source is named", False)

    def __init__(self, words: str, may_permit: bool) -> None:
        self.words = words
        self.may_permit = may_permit

    @property
    def rule(self) -> str:
        """What may be built on it, for the page."""
        if self.may_permit:
            return self.words
        return f"{self.words}: it may forbid and permits nothing"


_BY_KIND = {
    "shop measurement": Standing.MEASURED,
    "told by another restorer": Standing.TOLD,
    "common practice": Standing.PRACTICE,
    "from memory": Standing.MEMORY,
    "invented": Standing.INVENTED,
}
_BY_READ = {"seen": Standing.SEEN, "second-hand": Standing.SECOND_HAND}
_ORDER = list(Standing)


def standing_of(source: Source) -> Standing:
    """The standing of one source: by its kind, and for what was published by how it was read."""
    return _BY_KIND.get(source.kind) or _BY_READ.get(source.read, Standing.NOT_SEEN)


def of_citation(library: Library, cited: Citation) -> Standing:
    """The standing of a place in a source: `from memory` as its locator lowers any source."""
    found = standing_of(library.sources[cited.source])
    return Standing.MEMORY if "from memory" in cited.at.casefold() and found.may_permit else found


def of_citations(library: Library, cited: Iterable[Citation | None]) -> Standing:
    """The best standing among several sources that tell the same; none: no source is named."""
    return min((of_citation(library, each) for each in cited if each), key=_ORDER.index, default=Standing.NONE)


def lacking(source: Source) -> tuple[str, ...]:
    """What a shop measurement does not tell of itself: date, instrument, count, spread."""
    if source.kind != "shop measurement":
        return ()
    told = {"date": source.date, "instrument": source.instrument, "count": source.count, "spread": source.spread}
    return tuple(name for name, value in told.items() if not value)
