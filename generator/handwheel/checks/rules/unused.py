"""Something that the shop wrote down and nothing refers to.

What it proves:
    Every tool, supply, figure, source, loose part, agent, material, finish, finding, reading, choice, spare, item and
    shared run in the shop's own folder is referred to somewhere. What a library offers need not be used.

Why it matters at the bench:
    A tool that no step names is not laid out, a reading that no step takes is not taken. Mostly it is a name that was
    changed in one place only.

Failing example:
    tools:
      lens: {name: lens}

Passing example:
    tools:
      lens: {name: lens}
    procedures:
      lamp-look:
        title: Look at the lamp
        steps:
          - {do: Look at the lead with a lens., tools: [lens]}

How to mend it:
    Name it where it is used, or take it out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.records.kinds import KINDS, Record
from handwheel.records.library import Library
from handwheel.records.part_records import PartRecord
from handwheel.records.work_records import Procedure

_JUDGED = (
    "tools", "supplies", "figures", "sources", "parts", "agents", "materials", "finishes", "findings", "readings",
    "choices", "spares", "items", "blades",
)  # fmt: skip


@rule()
def find(
    library: Library, uses: Mapping[tuple[str, str], tuple[tuple[str, str], ...]], own: frozenset[str]
) -> Iterator[Finding]:
    """Records of the shop's own layer that nothing else names."""
    for kind in (*_JUDGED, "procedures"):
        for record in library.of(kind).values():
            if record.layer in own and not _stands_alone(kind, record) and not uses.get((kind, record.id)):
                yield Finding(
                    place=record.place,
                    subject=f"{kind}/{record.id}",
                    what=f"nothing uses the {KINDS[kind].singular} '{record.id}'",
                    right="its id where it is used, or the entry taken out",
                )


def _stands_alone(kind: str, record: Record) -> bool:
    """Whether it is of use though nothing names it: a procedure with a page, a part that has its place on others."""
    match record:
        case Procedure():
            return not record.shared
        case PartRecord():
            return record.root or bool(record.inside or record.behind or record.stack)
        case _:
            return kind not in _JUDGED
