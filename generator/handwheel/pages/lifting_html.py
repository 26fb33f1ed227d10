"""What lifting a variant takes: head with and without what hangs on it, base; people, and whose word goes first."""

from __future__ import annotations

from collections.abc import Mapping
from functools import reduce

from markupsafe import Markup

from handwheel.engineering.ranges import Span
from handwheel.evidence.lifting import DEFERRAL, LIFT_WORDS, judged_loads
from handwheel.pages.evidence_html import folded
from handwheel.pages.here import Fact, Here
from handwheel.records.machine_records import Variant
from handwheel.records.part_records import PartRecord
from handwheel.records.values import Amount

BASE = "base"
UNKNOWN = "Its mass is not known: weigh it, and until then lift it by two."


def lifting_facts(here: Here, variant: Variant) -> list[Fact]:
    """Each load with its mass, how many people it takes, and the sum."""
    found = [
        (
            each.name,
            Markup("<b>{} {}</b>, {}. {}{}").format(
                each.people, "person" if each.people == 1 else "people", each.mass, each.words, folded(each.arithmetic)
            ),
        )
        for each in judged_loads(here.library, loads_of(here, variant))
    ]
    if variant.mass is None:
        found.insert(0, ("Head", Markup(UNKNOWN)))
    return [*found, ("The lift that is meant", Markup("{}. {}").format(LIFT_WORDS, DEFERRAL))]


def loads_of(here: Here, variant: Variant) -> Mapping[str, Span]:
    """Head bare and with each motor, the base, and all of it together, as far as they were weighed."""
    loads: dict[str, Span] = {}
    has = here.desk.has(variant.id)
    head = variant.mass.value if variant.mass else None
    if head is not None:
        loads["Head without motor"] = Span.exactly(head)
    for part in here.library.parts.values():
        if not (part.powers or part.id == BASE) or has.never("parts", part.id):
            continue
        span = _mass(part, has.values(part.mass))
        if span is not None and part.id == BASE:
            loads["Base"] = span
        elif span is not None and head is not None:
            loads[f"Head with {part.name or part.id}"] = Span(head + span.low, head + span.high)
    heads = [each for name, each in loads.items() if name != "Base"]
    if heads and "Base" in loads:
        loads["Head in its base, as it is carried"] = reduce(Span.hull, heads) + loads["Base"]
    return loads


def _mass(part: PartRecord, told: tuple[Amount, ...]) -> Span | None:
    values = [each.value for each in told if each.value is not None]
    return Span(part.count * min(values), part.count * max(values)) if values else None
