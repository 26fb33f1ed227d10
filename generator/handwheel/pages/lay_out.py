"""What to lay out before a procedure: tools, blades, supplies; all of it follows from its steps."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.pages.here import Fact, Here, facts
from handwheel.procedures.existence import Existence
from handwheel.procedures.presence import holders
from handwheel.procedures.resolved import ResolvedStep
from handwheel.records.step_records import Step
from handwheel.records.work_records import Procedure


def laid_out(here: Here, procedure: Procedure, steps: tuple[ResolvedStep, ...], has: Existence) -> list[Fact]:
    """Tools, blades and supplies, each once, in the order in which they are first needed."""
    library = here.library
    tools = dict.fromkeys((*procedure.tools, *(tool for step in steps for tool in step.act.step.tools)))
    used = dict.fromkeys(name for step in steps for name in fasteners_used(here, step.act.step, has))
    blades = dict.fromkeys(library.fasteners[name].blade for name in used if library.fasteners[name].blade)
    supplies = dict.fromkeys(supply for step in steps for supply in _supplies(here, step.act.step))
    return facts(
        ("Tools", here.anchors("tools", tools)),
        ("Blades", here.anchors("blades", blades)),
        ("Supplies", here.anchors("supplies", supplies)),
    )


def fasteners_used(here: Here, step: Step, has: Existence) -> Iterator[str]:
    """Fasteners that a step touches on a machine: those it names, and those that hold what it takes off or puts on."""
    held = (each for part in (*step.removes, *step.fits) for each in holders(here.library).get(part, ()))
    for name in (*step.loosens, *step.undoes, *step.tightens, *held):
        if name in here.library.fasteners and not has.never("fasteners", name):
            yield name


def _supplies(here: Here, step: Step) -> Iterator[str]:
    library = here.library
    yield from step.supplies
    agents = {*step.cleans.values(), *step.tests_on.values()}
    yield from (each.id for each in library.of("supplies").values() if each.agent in agents)
    for point in step.lubricates:
        if point in library.oiling_points:
            supply = library.of("lubricants")[library.oiling_points[point].lubricant].supply
            if supply:
                yield supply
