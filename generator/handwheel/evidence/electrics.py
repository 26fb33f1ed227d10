"""Lamps against their holders, and what a machine takes against what carries it, from the records of parts.

The records tell what is marked on a part. What may be built on a marking follows from its source: a marking from
memory may forbid and permits nothing. No sum here clears a machine for use.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from handwheel.engineering.basis import Basis
from handwheel.engineering.basis import Standing as Carried
from handwheel.engineering.lamps import Carrier, Consumer, Fit, Holder, Lamp, Load, Told, lamp_in_holder, total_load
from handwheel.engineering.ranges import OutOfRange, Span
from handwheel.evidence.standing import Standing, of_citations
from handwheel.records.library import Library
from handwheel.records.part_records import PartRecord
from handwheel.records.values import Amount

NO_CAP = ""
_CARRIED = {
    Standing.SEEN: Carried.SEEN,
    Standing.MEASURED: Carried.MEASURED,
    Standing.SECOND_HAND: Carried.SEEN,
    Standing.PRACTICE: Carried.PRACTICE,
}
"""What a marking may rest on; told by another restorer or of any other standing, it carries no more than memory."""


@dataclass(frozen=True)
class InHolder:
    """A lamp and the part that holds it."""

    lamp: PartRecord
    holder: PartRecord


def basis_of(library: Library, part: PartRecord) -> Basis:
    """What the markings of a part rest on; what may permit nothing carries no more than practice or memory."""
    standing = of_citations(library, part.sources)
    return Basis(f"marking on the {part.name or part.id}", "", _CARRIED.get(standing, Carried.MEMORY))


def lamps_in_holders(library: Library) -> Iterator[InHolder]:
    """Each part that takes power and sits in one whose holder is marked for a lamp, or bears no mark."""
    for part in library.parts.values():
        if part.watts is None:
            continue
        holder = _holder(library, part)
        if holder is not None:
            yield InHolder(part, holder)


def _holder(library: Library, part: PartRecord) -> PartRecord | None:
    seen = {part.id}
    while part.inside and part.inside not in seen:
        seen.add(part.inside)
        part = library.parts[part.inside]
        if part.lamp_up_to is not None:
            return part
    return None


@dataclass(frozen=True)
class Marked:
    """What is marked on a lamp and its holder, on some machines; None where it is not told."""

    watts: Amount | None
    volts: tuple[Amount, ...] | None
    cap: str | None
    holder_watts: Amount | None
    holder_cap: str | None


def judged_lamp(library: Library, pair: InHolder, marked: Marked) -> Told | None:
    """A lamp against its holder; None where its watts, or the holder's marking, are not told on these machines.

    What is not told (cap, voltage) is not held against it.
    """
    watts = _si(marked.watts)
    if watts is None or marked.holder_watts is None:
        return None
    mains = _si(library.shop.mains) if library.shop else None
    volts = span_of(marked.volts) or Span.exactly(mains or 230.0)
    at_holder = mains if mains is not None else volts.low
    caps = (marked.cap or marked.holder_cap or NO_CAP, marked.holder_cap or marked.cap or NO_CAP)
    try:
        holder = Holder(marked.holder_watts.value, caps[1], at_holder, basis_of(library, pair.holder))
        return lamp_in_holder(Lamp(watts, volts, caps[0]), holder)
    except OutOfRange:  # a marking that no lamp bears is told by a rule of its own
        return None


def span_of(volts: Sequence[Amount] | None) -> Span | None:
    """The voltages between what is marked; None where nothing is."""
    values = [each.value for each in volts or () if each.value is not None]
    return Span(min(values), max(values)) if values else None


@dataclass(frozen=True)
class Taking:
    """A part that takes current, with what is marked on it on some machines."""

    part: PartRecord
    watts: Amount | None
    amps: Amount | None
    volts: tuple[Amount, ...] | None

    @property
    def name(self) -> str:
        """The part in words."""
        return self.part.name or self.part.id

    @property
    def words(self) -> str:
        """What is marked: `motor 70 W, 0.4 A`."""
        told = ", ".join(each.text for each in (self.watts, self.amps) if each is not None)
        return f"{self.name} {told}" if told else f"{self.name}: not told"


def volts_of(library: Library, taking: Iterable[Taking]) -> float | None:
    """The voltage that currents are reckoned at: that of the mains, else the lowest marked, which gives the most."""
    mains = _si(library.shop.mains) if library.shop else None
    if mains is not None:
        return mains
    spans = [span.low for each in taking if (span := span_of(each.volts)) is not None]
    return min(spans, default=None)


def load_of(
    library: Library, taking: Sequence[Taking], carrier: tuple[PartRecord, Amount] | None = None
) -> Load | None:
    """The total load, and how it stands against the carrier; None where no voltage or no consumer is told."""
    volts = volts_of(library, taking)
    told = [each for each in taking if each.watts is not None or each.amps is not None]
    if volts is None or not told:
        return None
    try:
        consumers = [
            Consumer(each.name, _si(each.watts) or (_si(each.amps) or 0.0) * volts, _si(each.amps)) for each in told
        ]
        return total_load(consumers, volts, [_carrier(library, *carrier)] if carrier and carrier[1].value else [])
    except OutOfRange:  # a marking that nothing here bears is told by a rule of its own
        return None


def _carrier(library: Library, part: PartRecord, amps: Amount) -> Carrier:
    assert amps.value is not None
    return Carrier(part.name or part.id, amps.value, basis_of(library, part))


def arithmetic(taking: Sequence[Taking], volts: float) -> Iterator[str]:
    """How the total came about, a line for each that takes current."""
    for each in taking:
        watts, amps = _si(each.watts), _si(each.amps)
        by_watts = f"{watts:g} W / {volts:g} V = {watts / volts:.3g} A" if watts is not None else ""
        marked = f"{amps:g} A marked" if amps is not None else ""
        both = ", of which the greater counts" if by_watts and marked else ""
        yield f"{each.name}: {' and '.join(filter(None, (by_watts, marked))) or 'nothing is marked'}{both}"


def over(told: Told) -> bool:
    """Whether it must not be used so."""
    return told.fit in (Fit.OVER, Fit.WRONG)


def _si(amount: Amount | None) -> float | None:
    return amount.value if amount is not None else None
