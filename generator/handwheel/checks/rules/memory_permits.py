"""Something permitted on the strength of memory, of hearsay or of common practice.

What it proves:
    What permits or raises rests on something that was published or measured: an agent that is `fine` on some
    material, a torque in figures, a thread that counts as verified. Memory, common practice and what another restorer
    told may forbid, ask for a test, or lower a limit.

Why it matters at the bench:
    "Everybody does it" has taken the gold off many machines. A wrong warning costs a minute, a wrong permission costs
    the head.

Failing example:
    agents:
      wood-polish: {name: wood polish, harms: {steel: fine}, sources: [practice]}
    procedures:
      plate-wiped:
        title: Wipe the side plate
        steps:
          - {do: Wipe the side plate., cleans: {side-plate: wood-polish}, how: wipe}

Passing example:
    agents:
      wood-polish: {name: wood polish, harms: {steel: test first}, sources: [practice]}
    procedures:
      plate-wiped:
        title: Wipe the side plate
        steps:
          - {do: Wipe the side plate., cleans: {side-plate: wood-polish}, how: wipe}

How to mend it:
    Cite what it rests on, or measure it. Else say `test first`, "just nipped", or `verified: false`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.procedures.wording import joined
from handwheel.records.library import Library
from handwheel.records.library_records import Agent, Thread
from handwheel.records.part_records import Fastener
from handwheel.records.values import Citation

WEAK = frozenset(("from memory", "common practice", "told by another restorer"))


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Permissions by what they rest on; where nothing is cited, nothing is known to be weak."""
    for agent in library.agents.values():
        fine = _fine_by_memory(library, agent)
        if fine:
            yield Finding(
                place=agent.where("harms"),
                subject=f"agents/{agent.id}",
                what=f"'{agent.id}' is fine on {joined(fine)}, which rests on {_kinds(library, agent.sources)} alone",
                right="a source that was published or measured, or 'test first'",
            )
    for fastener in library.fasteners.values():
        told = fastener.tighten.values if fastener.tighten else ()
        figures = [each.text for each in told if each.value is not None]
        yield from _cited(library, "fasteners", fastener, "tighten", figures)
    for thread in library.threads.values():
        yield from _cited(library, "threads", thread, "verified", ["'verified: true'"] if thread.verified else [])


def _fine_by_memory(library: Library, agent: Agent) -> list[str]:
    """What the agent is fine on by weak sources alone: all, or what the citation of a weak one names."""
    fine = [name for name, harm in agent.harms.items() if harm == "fine"]
    if _weak(library, agent.sources):
        return fine
    named = " ".join(each.at.casefold() for each in agent.sources if library.sources[each.source].kind in WEAK)
    return [each for each in fine if re.search(rf"\b{re.escape(each.replace('-', ' '))}\b", named)]


def _cited(
    library: Library, kind: str, record: Fastener | Thread, key: str, permits: Sequence[str]
) -> Iterator[Finding]:
    cited = (record.source,) if record.source else ()
    if permits and _weak(library, cited):
        yield Finding(
            place=record.where(key),
            subject=f"{kind}/{record.id}",
            what=f"{joined(permits, 'or')} of '{record.id}' rests on {_kinds(library, cited)} alone",
            right="a source or a measurement; else 'just nipped', or 'verified: false'",
        )


def _weak(library: Library, cited: Iterable[Citation]) -> bool:
    kinds = [library.sources[each.source].kind for each in cited]
    return bool(kinds) and all(kind in WEAK for kind in kinds)


def _kinds(library: Library, cited: Iterable[Citation]) -> str:
    kinds = (library.sources[each.source].kind for each in cited)
    return joined(dict.fromkeys(kind for kind in kinds if kind in WEAK))
