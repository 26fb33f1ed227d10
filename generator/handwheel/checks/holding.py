"""What holds what in a step: the fasteners that its effects touch, and the words for them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from handwheel.checks.machines import Machines
from handwheel.checks.sites import Written
from handwheel.machines.reduce import conjunction
from handwheel.procedures.presence import fastener_present, holders
from handwheel.procedures.wording import name_of
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener, PartRecord
from handwheel.records.step_records import Step

_KINDS = {
    "screw": "screws", "set screw": "screws", "cone screw": "screws", "nut": "nuts", "own thread": "threads",
    "plug": "plugs", "terminal": "terminals", "taper pin": "pins", "hinge pin": "pins", "spring clip": "clips",
    "knot": "knots", "bayonet": "bayonets", "slip fit": "fits", "glue": "glue",
}  # fmt: skip


def fasteners_of(library: Library, step: Step) -> tuple[Fastener, ...]:
    """The fasteners that the step's effects touch, each once."""
    found = dict.fromkeys(_touched(library, step))
    return tuple(library.fasteners[each] for each in found if each in library.fasteners)


def fasteners_at(machines: Machines, step: Written) -> tuple[Fastener, ...]:
    """The fasteners that a step touches, of those that are there on some machine that has the step; each once."""
    found: dict[str, Fastener] = {}
    for site in step.sites:
        for each in fasteners_of(machines.library, site.step):
            if each.id not in found:
                there = conjunction((site.condition, fastener_present(machines.library, each.id)))
                if machines.anywhere(there):
                    found[each.id] = each
    return tuple(found.values()) or fasteners_of(machines.library, step.step)


def _touched(library: Library, step: Step) -> Iterator[str]:
    yield from (*step.loosens, *step.undoes, *step.tightens)
    for part in (*step.removes, *step.fits):
        yield from holders(library).get(part, ())
    for setting in (*step.sets, *step.marks, *step.disturbs):
        if setting in library.settings:
            yield from library.settings[setting].held_by


def parts_of(library: Library, step: Step) -> tuple[PartRecord, ...]:
    """The parts that the step takes off, puts on or renews, each once."""
    named = dict.fromkeys((*step.removes, *step.fits, *step.renews))
    return tuple(library.parts[each] for each in named if each in library.parts)


def head_noun(name: str) -> str:
    """The noun that a name is built on: `screw` of `slot screw of the winder foot`."""
    return re.split(r" (?:of|in|at|on|with) ", name, maxsplit=1)[0].split()[-1].casefold()


def plurals(record: Fastener | PartRecord) -> tuple[str, ...]:
    """Nouns that speak of several of these."""
    own = head_noun(record.plural) if record.plural else f"{head_noun(name_of(record))}s"
    kind = (_KINDS[record.kind],) if isinstance(record, Fastener) else ()
    return tuple(dict.fromkeys((own, *kind)))


def singulars(record: Fastener | PartRecord) -> tuple[str, ...]:
    """Nouns that speak of one of these."""
    return (head_noun(name_of(record)),)
