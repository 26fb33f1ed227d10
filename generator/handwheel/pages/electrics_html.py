"""What a variant takes from the mains: its loads, its lamp in its holder, and what carries the current.

The sums are those of the rules, on the machines of one variant. Nothing here clears a machine for use: the caution and
the deferral to local codes and licensed practice stand under them.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from markupsafe import Markup

from handwheel.checks.loads import LoadJudged, carriers, lamps_judged, loads_judged
from handwheel.checks.machines import Machines
from handwheel.engineering.electrics import CAUTION, DEFERRAL
from handwheel.engineering.lamps import Fit, Told
from handwheel.evidence.electrics import arithmetic, volts_of
from handwheel.machines.conditions import OfVariant
from handwheel.pages.evidence_html import folded, said
from handwheel.pages.here import Fact, Here
from handwheel.records.library import Library
from handwheel.records.machine_records import Variant

_GRAVEST = (Fit.WRONG, Fit.OVER, Fit.UNKNOWN, Fit.NOT_OVER)


@lru_cache(maxsize=4)
def machines_of(library: Library) -> Machines:
    """The machines that can stand here, made once for all pages."""
    return Machines(library)


def electrics_facts(here: Here, variant: Variant) -> list[Fact]:
    """Total load by machine, lamps in their holders, carriers; nothing where no part is told to take current."""
    found = [*_loads(here, variant), *_lamps(here, variant), *_carriers(here, variant)]
    if not found:
        return []
    return [*found, ("Before all of this", Markup("<b>{}</b> {}").format(CAUTION, DEFERRAL))]


def _within(variant: Variant) -> OfVariant:
    return OfVariant(frozenset((variant.id,)))


def _on(here: Here, variant: Variant, words: str) -> str:
    """The machines in words, without the name of the family, on whose page they stand."""
    return words.removeprefix(here.library.families[variant.family].name).removeprefix("; ")


def _loads(here: Here, variant: Variant) -> Iterator[Fact]:
    library = here.library
    shown: dict[str, Markup] = {}
    for each in loads_judged(library, machines_of(library), _within(variant)):
        on = _on(here, variant, each.machines)
        what = "; ".join(taking.words for taking in each.taking)
        shown.setdefault(f"{what} {on}", Markup("<b>{}</b>: {}{}{}").format(*_load_words(library, each, what, on)))
    if shown:
        yield "Takes in all", said(shown.values())


def _load_words(library: Library, each: LoadJudged, what: str, on: str) -> tuple[str, str, str, Markup]:
    volts = volts_of(library, each.taking)
    where = f" (on {on})" if on else ""
    if each.load is None or volts is None:
        return "not known", what, where, Markup("")
    partly = any(taking.watts is None and taking.amps is None for taking in each.taking)
    total = f"{each.load.watts:g} W, {each.load.amps:.2g} A at {volts:g} V"
    return ("at least " if partly else "") + total, what, where, folded(arithmetic(each.taking, volts))


def _lamps(here: Here, variant: Variant) -> Iterator[Fact]:
    library = here.library
    shown = {
        _verdict(each.told, _on(here, variant, each.machines)): None
        for each in lamps_judged(library, machines_of(library), _within(variant))
    }
    if shown:
        yield "Lamp in its holder", said(shown)


def _carriers(here: Here, variant: Variant) -> Iterator[Fact]:
    """Each part that carries current, with the worst that any machine of the variant puts on it."""
    library = here.library
    for carrier in carriers(library):
        found = list(loads_judged(library, machines_of(library), _within(variant), carrier))
        told = [(t, each) for each in found if each.load for _, t in each.load.against]
        name = f"Through the {carrier.name or carrier.id}"
        if told:
            worst = min(told, key=lambda pair: (_GRAVEST.index(pair[0].fit), -pair[1].load.amps if pair[1].load else 0))
            yield name, _verdict(worst[0], _on(here, variant, worst[1].machines), "the most, ")
        elif found:
            yield name, Markup("<b>{}</b>: it bears no mark that was read").format(Fit.UNKNOWN.value)


def _verdict(told: Told, on: str, most: str = "") -> Markup:
    where = f" ({most}on {on})" if on else ""
    return Markup("<b>{}</b>: {}{}").format(told.fit.value, told.reason, where)
