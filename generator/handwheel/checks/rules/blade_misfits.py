"""A blade that does not fit the slot of its screw.

What it proves:
    The blade named for a fastener enters its slot and does not stand out of it, and where none is named some blade of
    the library does.

Why it matters at the bench:
    Too thin, it twists out and leaves a burr for ever. Too wide, it cuts the finish round the screw.

Failing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw:
        {name: cover screw, holds: [end-cover], slot_width: 0.9 mm, slot_length: 5 mm, blade: blade-1-0-5-5,
         source: bench-notes}

Passing example:
    parts:
      end-cover: {name: end cover}
    fasteners:
      cover-screw:
        {name: cover screw, holds: [end-cover], slot_width: 0.9 mm, slot_length: 5 mm, blade: blade-0-8-4,
         source: bench-notes}

How to mend it:
    Measure the slot again, name the blade that fits, or add the blade that the shop has ground for it.

Sources:
    ISO 2380-1:2004, table 1, for thickness and its tolerance; ISO 1207 for slots.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.screws import value_of
from handwheel.engineering.basis import Basis, Standing
from handwheel.engineering.blades import Blade, misfit
from handwheel.engineering.ranges import OutOfRange
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener

_TOLD = Basis("the record of the blade", "", Standing.MEASURED)


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Slots against blades."""
    tips = {name: tip for name, record in library.blades.items() if (tip := _tip(record.thickness, record.width))}
    for fastener in library.fasteners.values():
        width, length = value_of(fastener.slot_width), value_of(fastener.slot_length)
        if width is not None and length is not None:
            yield from _judge(fastener, width, length, tips)


def _judge(fastener: Fastener, width: float, length: float, tips: dict[str, Blade]) -> Iterator[Finding]:
    try:
        wrong = {name: misfit(tip, width, length) for name, tip in tips.items()}
    except OutOfRange as error:
        yield _finding(fastener, "slot_width", f"this is no slot: {error}", "width and length measured again")
        return
    fitting = [name for name in wrong if not wrong[name]]
    if fastener.blade and wrong.get(fastener.blade):
        best = max(fitting, key=lambda name: (tips[name].thickness, tips[name].width), default="")
        right = f"blade: {best}" if best else "a blade ground for it"
        yield _finding(fastener, "blade", wrong[fastener.blade], right)
    elif tips and not fitting and not fastener.blade:
        slot = f"{width * 1e3:.3g} mm wide and {length * 1e3:.3g} mm long"
        yield _finding(fastener, "slot_width", f"no blade fits a slot {slot}", "a blade ground for it, under 'blades:'")


def _finding(fastener: Fastener, key: str, what: str, right: str) -> Finding:
    return Finding(place=fastener.where(key), subject=f"fasteners/{fastener.id}", what=what, right=right)


def _tip(thickness: object, width: object) -> Blade | None:
    a, b = value_of(thickness), value_of(width)  # type: ignore[arg-type]
    return Blade("", a, b, 0.0, _TOLD) if a and b else None
