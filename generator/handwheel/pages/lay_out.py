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
    named = dict.fromkeys(name for step in steps for name in fasteners_used(here, step.act.step))
    used = [name for name in named if not has.never("fasteners", name)]
    blades = dict.fromkeys(library.fasteners[name].blade for name in used if library.fasteners[name].blade)
    supplies = dict.fromkeys(supply for step in steps for supply in supplies_used(here, step.act.step))
    return facts(
        ("Tools", here.anchors("tools", tools)),
        ("Blades", here.anchors("blades", blades)),
        ("Supplies", here.anchors("supplies", supplies)),
    )


def fasteners_used(here: Here, step: Step) -> Iterator[str]:
    """Fasteners that a step touches, where they are: those it names, and what holds parts taken off or put on."""
    held = (each for part in (*step.removes, *step.fits) for each in holders(here.library).get(part, ()))
    for name in (*step.loosens, *step.undoes, *step.tightens, *held):
        if name in here.library.fasteners:
            yield name


def supplies_used(here: Here, step: Step) -> Iterator[str]:
    """Supplies that a step names, or needs for what it does."""
    library = here.library
    yield from step.supplies
    agents = {*step.cleans.values(), *step.tests_on.values()}
    yield from (each.id for each in library.of("supplies").values() if each.agent in agents)
    for point in step.lubricates:
        if point in library.oiling_points:
            lubricant = library.of("lubricants").get(library.oiling_points[point].lubricant)
            if lubricant and lubricant.supply:
                yield lubricant.supply
