"""Which cautions a step meets: they follow from its agents, parts, tools and nature, and are never written twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from handwheel.procedures.presence import holders
from handwheel.procedures.simulate.anatomy import anatomy_of
from handwheel.records.library import Library
from handwheel.records.part_records import PartRecord
from handwheel.records.step_records import Step

WORDS = ("danger", "warning", "caution", "notice")
"""Signal words, gravest first (ANSI Z535)."""

HANDLED = ("removes", "fits", "renews", "heats", "cleans", "lifts")
"""Effects that bring a hand to their parts."""


def parts_handled(step: Step) -> tuple[str, ...]:
    """Parts that the step brings a hand to, each once, in the order of the effects."""
    return tuple(dict.fromkeys(part for effect in HANDLED for part in getattr(step, effect)))


def cautions_of(library: Library, step: Step) -> tuple[str, ...]:
    """Ids of the cautions that a step meets on some machine, gravest first, each once."""
    found = dict.fromkeys(
        (*step.cautions, *_of_agents(library, step), *_of_things(library, step), *_by_nature(library, step))
    )
    return gravest_first(library, found)


def gravest_first(library: Library, cautions: Iterable[str]) -> tuple[str, ...]:
    """Cautions by their signal words, otherwise in the order given."""
    return tuple(sorted(cautions, key=lambda each: WORDS.index(library.cautions[each].word)))


def _of_agents(library: Library, step: Step) -> Iterator[str]:
    for agent in (*step.cleans.values(), *step.tests_on.values()):
        if agent in library.agents:
            yield from library.agents[agent].hazards


def _of_things(library: Library, step: Step) -> Iterator[str]:
    for name in parts_handled(step):
        if name in library.parts:
            part = library.parts[name]
            yield from part.hazards
            yield from _of_materials(library, part)
    for tool in step.tools:
        yield from library.tools[tool].hazards
    for point in step.lubricates:
        if point in library.oiling_points:
            yield from library.of("lubricants")[library.oiling_points[point].lubricant].hazards


def _of_materials(library: Library, part: PartRecord) -> Iterator[str]:
    for material in part.material.values if part.material else ():
        yield from library.materials[material].hazards


def _by_nature(library: Library, step: Step) -> Iterator[str]:
    natures = natures_of(library, step)
    for caution in library.cautions.values() if natures else ():
        if not natures.isdisjoint(caution.met_by):
            yield caution.id


def natures_of(library: Library, step: Step) -> frozenset[str]:
    """Kinds of work that the step is, each of which cautions are met by."""
    return frozenset(_natures(library, step))


def _natures(library: Library, step: Step) -> Iterator[str]:
    if _electrical(library, (*_along(library, step), *_held(library, step))):
        yield "electrical work"
    if step.restores or step.runs:
        yield "live work"
    if step.lifts:
        yield "lifting"
        if step.people > 1:
            yield "heavy lifting"
    if step.heats:
        yield "heating"
    if "sewing" in step.proves:
        yield "sewing"


def _along(library: Library, step: Step) -> Iterator[str]:
    """Parts that hands are on, with all that comes along with them; the head alone is not all that it carries."""
    anatomy = anatomy_of(library)
    oiled = (part for point in step.lubricates for part in _between(library, point))
    for part in (*step.removes, *step.fits, *step.renews, *step.cleans, *step.tests_on, *step.heats, *oiled):
        yield from (part, *(anatomy.below(part) if part != anatomy.root else ()))


def _between(library: Library, point: str) -> tuple[str, ...]:
    return library.oiling_points[point].between if point in library.oiling_points else ()


def _held(library: Library, step: Step) -> Iterator[str]:
    """Parts that are held by what the step turns or marks: screws of its own, of its parts and of its settings."""
    of_parts = (each for part in (*step.removes, *step.fits) for each in holders(library).get(part, ()))
    for holder in (*step.loosens, *step.undoes, *step.tightens, *of_parts, *_holding(library, step)):
        yield from library.fasteners[holder].holds if holder in library.fasteners else (holder,)


def _holding(library: Library, step: Step) -> Iterator[str]:
    for setting in (*step.sets, *step.marks):
        if setting in library.settings:
            yield from library.settings[setting].held_by


def _electrical(library: Library, parts: Iterable[str]) -> bool:
    return any(library.parts[part].electrical for part in parts if part in library.parts)
