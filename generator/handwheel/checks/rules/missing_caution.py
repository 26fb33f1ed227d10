"""Work that meets a hazard for which there is no caution.

What it proves:
    For each kind of work that can hurt by its nature (electrical work, live work, lifting, heavy lifting, sewing,
    heating), there is a caution that says so (`met_by:`) if some step is such work; it is then printed above the text
    of each such step. An agent whose vapour catches fire (`flammable: true`) names a caution with the symbol of fire.

Why it matters at the bench:
    A caution is never written beside a step, so that it cannot be forgotten there. It can be lost in one place only:
    where a shop replaces it, or makes do without the library that it comes from.

Failing example:
    agents:
      benzine: {name: benzine, flammable: true}
    procedures:
      wiped:
        title: Wipe the plate
        steps: [{do: Wipe the side plate., cleans: {side-plate: benzine}}]

Passing example:
    agents:
      benzine: {name: benzine, flammable: true, hazards: [fire]}
    procedures:
      wiped:
        title: Wipe the plate
        steps: [{do: Wipe the side plate., cleans: {side-plate: benzine}}]

How to mend it:
    Write the caution, with `met_by:` the work or under `hazards:` of the agent, or lay the shop over a library that
    has it.

Sources:
    That a safety message stands before the action that meets the hazard: IEC/IEEE 82079-1:2019 (from memory, no
    clause seen). Signal words: ANSI Z535.4.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.checks.sites import Site
from handwheel.procedures.hazards import natures_of
from handwheel.records.library import Library


@rule("error", safety=True)
def find(library: Library, sites: Sequence[Site]) -> Iterator[Finding]:
    """Kinds of work, and agents, without their cautions."""
    warned = {nature for caution in library.cautions.values() for nature in caution.met_by}
    for site in sites:
        for nature in sorted(natures_of(library, site.step) - warned):
            yield Finding(
                place=site.act.place,
                subject=site.act.id,
                what=f"this is {nature}, and no caution is met by {nature}",
                right=f"a caution with met_by: [{nature}]",
                cause=nature,
            )
    yield from _agents(library)


def _agents(library: Library) -> Iterator[Finding]:
    for agent in library.agents.values():
        if agent.flammable and not any(library.cautions[each].symbol == "fire" for each in agent.hazards):
            yield Finding(
                place=agent.place,
                subject=f"agents/{agent.id}",
                what=f"{agent.name} catches fire, and none of its hazards says so",
                right="hazards: [..] with a caution whose symbol is fire",
            )
