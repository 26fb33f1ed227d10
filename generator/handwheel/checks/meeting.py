"""Where a hazard is met before its caution stands: the same work done earlier in a run, without it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from handwheel.procedures.hazards import HANDLED, cautions_of
from handwheel.procedures.presence import holders
from handwheel.procedures.simulate.run import Run
from handwheel.procedures.simulate.trace import Done
from handwheel.procedures.simulate.world import Trail
from handwheel.procedures.wording import name_of
from handwheel.records.library import Library
from handwheel.records.step_records import Step

Work = tuple[str, str]
"""An effect and what it is done to; `do` and a text for the same instruction word for word."""

SAME = (*HANDLED, "loosens", "undoes", "tightens", "tests_on", "lubricates", "sets", "disturbs", "turns", "restores",
        "runs")  # fmt: skip
"""Effects that meet the same hazard again when they are done to the same thing."""
OPENS = ("loosens", "undoes")
"""Effects on what holds a part that let go of the part itself."""


@dataclass(frozen=True)
class Late:
    """A caution that stands at a later step than the one that meets its hazard first."""

    run: Run
    caution: str
    first: Done
    """The step that meets the hazard and has no such caution."""
    later: Done
    work: Work
    """What both do."""
    machines: int

    @property
    def words(self) -> str:
        """What the first step does already."""
        effect, thing = self.work
        library = self.run.ground.library
        kind = next((kind for kind in ("parts", "fasteners", "settings") if thing in library.of(kind)), "")
        named = name_of(library.of(kind)[thing], kind) if kind else thing
        return "is the same, word for word" if effect == "do" else f"{effect.replace('_', ' ')} '{named}'"


def late_in(library: Library, run: Run) -> Iterator[Late]:
    """Cautions of one run that come too late on some machine, each told of the first step that lacks it."""
    before: dict[Work, list[tuple[Done, frozenset[str]]]] = {}
    told: set[tuple[str, str]] = set()
    for done in run.trace.done:
        for caution, work in _met(library, done.act.step):
            for first, warned in before.get(work, ()):
                if caution in warned or (caution, first.act.id) in told:
                    continue
                machines = _on_one_way(first, done)
                if machines:
                    told.add((caution, first.act.id))
                    yield Late(run, caution, first, done, work, machines)
        warned_here = frozenset(cautions_of(library, done.act.step))
        for work in dict.fromkeys(_works(done.act.step)):
            before.setdefault(work, []).append((done, warned_here))


def _met(library: Library, step: Step) -> Iterator[tuple[str, Work]]:
    """Cautions of a step, each with the work that would have met its hazard before."""
    for caution in step.cautions:
        yield from ((caution, work) for work in dict.fromkeys(_works(step)))
    for part in dict.fromkeys(part for effect in HANDLED for part in getattr(step, effect)):
        for caution in library.parts[part].hazards if part in library.parts else ():
            for holder in holders(library).get(part, ()):
                yield from ((caution, (effect, holder)) for effect in OPENS)


def _works(step: Step) -> Iterator[Work]:
    for effect in SAME:
        yield from ((effect, thing) for thing in getattr(step, effect))
    yield from (("do", case.value.raw) for case in step.do.cases)


def _on_one_way(first: Done, later: Done) -> int:
    """Machines that come by both, with answers that agree: two sides of one question never follow each other."""
    found = 0
    for one in first.before.worlds:
        for other in later.before.worlds:
            here = one.machines & other.machines & ~found
            if here and _agree(one.trail, other.trail):
                found |= here
    return found


def _agree(one: Trail, other: Trail) -> bool:
    return all(one[question] & other[question] for question in one.keys() & other.keys())


def late(library: Library, runs: Iterable[Run]) -> dict[tuple[str, str], list[Late]]:
    """Late cautions of all runs, by caution and by the step that lacks it."""
    found: dict[tuple[str, str], list[Late]] = {}
    for run in runs:
        for each in late_in(library, run):
            found.setdefault((each.caution, each.first.act.id), []).append(each)
    return found
