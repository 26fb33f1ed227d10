"""A marking that no household machine bears.

What it proves:
    Watts, amperes and volts that parts are marked with, and the warmth that a material bears, lie where the sums of
    the tables hold. Outside, nothing is reckoned, and the pages say that it is not known.

Why it matters at the bench:
    A plate read with a slipped point makes a motor of six kilowatts, and every sum that leans on it is lost in silence.

Failing example:
    parts:
      drive-motor: {name: drive motor, behind: [side-plate], rests: true, electrical: true, sews: false, watts: 6000 W, sources: [bench-notes]}

Passing example:
    parts:
      drive-motor: {name: drive motor, behind: [side-plate], rests: true, electrical: true, sews: false, watts: 60 W, sources: [bench-notes]}

How to mend it:
    Read the plate again, and mind the unit.
"""  # noqa: E501

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.engineering.lamps import AMPS, VOLTS, WATTS
from handwheel.engineering.ranges import Range
from handwheel.engineering.viscosity import ZERO_CELSIUS
from handwheel.records.kinds import Record
from handwheel.records.library import Library
from handwheel.records.values import Amount

WARMTH = Range(ZERO_CELSIUS, ZERO_CELSIUS + 600, "K")
_MARKS = {"watts": WATTS, "lamp_up_to": WATTS, "amps": AMPS, "carries": AMPS, "volts": VOLTS}


@rule("error")
def find(library: Library) -> Iterator[Finding]:
    """Markings of parts, the mains of the shop, and what materials bear."""
    for part in library.parts.values():
        for key, allowed in _MARKS.items():
            value = getattr(part, key)
            for told in value.values if value else ():
                for amount in told if isinstance(told, tuple) else (told,):
                    yield from _judged("parts", part, key, amount, allowed)
    for material in library.materials.values():
        yield from _judged("materials", material, "heat_limit", material.heat_limit, WARMTH)
    if library.shop:
        yield from _judged("shops", library.shop, "mains", library.shop.mains, VOLTS)


def _judged(kind: str, record: Record, key: str, amount: Amount | None, allowed: Range) -> Iterator[Finding]:
    if amount is not None and amount.value is not None and amount.value not in allowed:
        right = "0 °C to 600 °C" if allowed is WARMTH else str(allowed)
        yield Finding(
            place=amount.place,
            subject=f"{kind}/{record.id}",
            what=f"'{key}: {amount.text}' of '{record.id}' lies outside what is known here",
            right=f"{right}; read the marking again",
        )
