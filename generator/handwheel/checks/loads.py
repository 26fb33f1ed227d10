"""Lamps in their holders and loads on what carries them, with the machines that have just these."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from handwheel.checks.cases import mixtures
from handwheel.checks.machines import Machines
from handwheel.engineering.lamps import Load, Told
from handwheel.evidence.electrics import InHolder, Marked, Taking, judged_lamp, lamps_in_holders, load_of
from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.reduce import conjunction, negated
from handwheel.procedures.existence import present
from handwheel.records.library import Library
from handwheel.records.part_records import PartRecord
from handwheel.records.values import Amount, Case, Varies

T = TypeVar("T")


@dataclass(frozen=True)
class LampJudged:
    """A lamp in its holder on some machines."""

    pair: InHolder
    marked: Marked
    told: Told
    machines: str


def lamps_judged(library: Library, machines: Machines, within: Condition = ALWAYS) -> Iterator[LampJudged]:
    """Every lamp with every holder marking that some machine has together; `within` narrows the machines."""
    for pair in lamps_in_holders(library):
        lamp, holder = pair.lamp, pair.holder
        both = conjunction((within, present(library, "parts", lamp.id), present(library, "parts", holder.id)))
        values = (lamp.watts, lamp.volts, lamp.cap, holder.lamp_up_to, holder.cap)
        for told, words in mixtures(machines, both, values):
            marked = Marked(*told)
            judged = judged_lamp(library, pair, marked)
            if judged is not None:
                yield LampJudged(pair, marked, judged, words)


@dataclass(frozen=True)
class LoadJudged:
    """What some machines take; with a carrier, how it stands against what that is marked to carry."""

    taking: tuple[Taking, ...]
    load: Load | None
    machines: str
    carrier: PartRecord | None = None
    carries: Amount | None = None


def consumers(library: Library) -> list[PartRecord]:
    """Parts that take current from the mains, as far as the records tell: marked, or moving the works."""
    parts = library.parts.values()
    return [each for each in parts if each.watts is not None or each.amps is not None or each.powers]


def carriers(library: Library) -> list[PartRecord]:
    """Parts that carry the current of others."""
    return [each for each in library.parts.values() if each.carries is not None]


def loads_judged(
    library: Library, machines: Machines, within: Condition = ALWAYS, carrier: PartRecord | None = None
) -> Iterator[LoadJudged]:
    """Every load that some machine has; with a carrier, of what it feeds, on the machines that have the carrier."""
    parts = [each for each in consumers(library) if _may_be_fed(library, carrier, each)]
    narrowed = conjunction((within, present(library, "parts", carrier.id))) if carrier else within
    values = [_presence(library, each) for each in parts]
    rating, feeds = (carrier.carries, carrier.feeds) if carrier else (None, None)
    for (carries, fed, *told), words in mixtures(machines, narrowed, (rating, feeds, *values)):
        taking = tuple(each for each in told if each is not None and _is_fed(library, fed, each.part))
        if taking:
            load = load_of(library, taking, (carrier, carries) if carrier and carries else None)
            yield LoadJudged(taking, load, words, carrier, carries)


def _may_be_fed(library: Library, carrier: PartRecord | None, part: PartRecord) -> bool:
    """Whether the carrier feeds the part on some machine; a part that it never feeds tells no machines apart."""
    fed = carrier.feeds.values if carrier and carrier.feeds else (None,)
    return any(_is_fed(library, each, part) for each in fed)


def _is_fed(library: Library, fed: tuple[str, ...] | None, part: PartRecord) -> bool:
    """Whether the part, or a part that it is in, is among those fed; None feeds all."""
    if fed is None:
        return True
    while part.id not in fed:
        if not part.inside:
            return False
        part = library.parts[part.inside]
    return True


def _presence(library: Library, part: PartRecord) -> Varies[Taking | None]:
    """What a part takes on the machines that have it, and nothing on the others."""
    there = present(library, "parts", part.id)
    cases: list[tuple[Condition, Taking]] = [(there, Taking(part, None, None, None))]
    cases = [(c, replace(t, watts=w)) for c, t in cases for c, w in _split(c, part.watts)]
    cases = [(c, replace(t, amps=a)) for c, t in cases for c, a in _split(c, part.amps)]
    cases = [(c, replace(t, volts=v)) for c, t in cases for c, v in _split(c, part.volts)]
    made: list[Case[Taking | None]] = [Case(c, t, part.place) for c, t in cases]
    if there != ALWAYS:
        made.append(Case(negated(there), None, part.place))
    return Varies(tuple(made), part.place)


def _split(condition: Condition, value: Varies[T] | None) -> Iterator[tuple[Condition, T | None]]:
    if value is None:
        yield condition, None
        return
    for case in value.cases:
        yield conjunction((condition, case.condition)), case.value
