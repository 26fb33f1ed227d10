"""A value that bears the name of a standard and not its figures.

What it proves:
    A thread, blade, viscosity grade or consistency number that bears a name of a table has the figures of that table.

Why it matters at the bench:
    The name is what is ordered by, and the figure is what is worked with. One of the two is wrong.

Failing example:
    blades:
      wide: {name: blade 0.8 x 4, thickness: 0.8 mm, width: 4.5 mm, sources: [{source: tips, at: table 1}]}
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], blade: wide}

Passing example:
    blades:
      narrow: {name: blade 0.8 x 4, thickness: 0.8 mm, width: 4 mm, sources: [{source: tips, at: table 1}]}
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw: {name: cover screw, holds: [end-cover], blade: narrow}

How to mend it:
    Look it up again. What the shop ground or measured itself gets a name of its own.

Sources:
    ISO 2380-1 (blades), ISO 3448 (viscosity grades), ASTM D217 (consistency), and the tables of threads that the
    engineering floor names.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.screws import value_of
from handwheel.engineering import blades, lubricants
from handwheel.engineering.thread_series import NoSuchThread, thread
from handwheel.evidence.threads import pitch_of
from handwheel.evidence.verdict import NEAR
from handwheel.records.library import Library

_NLGI = tuple(f"NLGI {number}" for number in ("000", "00", "0", "1", "2", "3", "4", "5", "6"))


@rule()
def find(library: Library) -> Iterator[Finding]:
    """What has a counterpart in a table."""
    yield from _threads(library)
    yield from _blades(library)
    yield from _lubricants(library)


def _threads(library: Library) -> Iterator[Finding]:
    for record in library.threads.values():
        try:
            known = thread(record.name)
        except NoSuchThread:
            continue
        for key, told, right in (
            ("diameter", value_of(record.diameter), known.diameter),
            ("tpi" if record.tpi else "pitch", pitch_of(record), known.pitch),
        ):
            if told is not None and abs(told - right) > NEAR * right:
                yield Finding(
                    place=record.where(key),
                    subject=f"threads/{record.id}",
                    what=f"{key} {told * 1e3:.4g} mm, and {known} has {right * 1e3:.4g} mm ({known.basis})",
                    right="the figure of the table, or another name",
                )


def _blades(library: Library) -> Iterator[Finding]:
    for record in library.blades.values():
        try:
            known = blades.blade(re.sub(r"^blade\s+", "", record.name))
        except blades.NoBlade:
            continue
        for key, told, right in (
            ("thickness", value_of(record.thickness), known.thickness),
            ("width", value_of(record.width), known.width),
        ):
            if told is not None and abs(told - right) > NEAR * right:
                yield Finding(
                    place=record.where(key),
                    subject=f"blades/{record.id}",
                    what=f"{key} {told * 1e3:.3g} mm, and {known.name} has {right * 1e3:.3g} mm ({known.basis})",
                    right="the figure of the table, or another name",
                )


def _lubricants(library: Library) -> Iterator[Finding]:
    for record in library.of("lubricants").values():
        for name in record.vg:
            if not _is_grade(name):
                yield Finding(
                    place=record.where("vg"),
                    subject=f"lubricants/{record.id}",
                    what=f"'{name}' is no viscosity grade of ISO 3448",
                    right="'VG 10', 'VG 15', 'VG 22' and the like",
                )
        for name in record.nlgi:
            if name not in _NLGI:
                yield Finding(
                    place=record.where("nlgi"),
                    subject=f"lubricants/{record.id}",
                    what=f"'{name}' is no consistency number",
                    right="'NLGI 000' to 'NLGI 6'",
                )


def _is_grade(name: str) -> bool:
    found = re.fullmatch(r"VG (\d+)", name)
    if found is None:
        return False
    try:
        lubricants.grade(int(found[1]))
    except ValueError:
        return False
    return True
