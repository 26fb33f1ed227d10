"""How machines come in, and which questions a run needs to tell them apart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from handwheel.machines.conditions import Condition, Is, questions_of
from handwheel.machines.questions import MISSING
from handwheel.procedures.changes import changes_of
from handwheel.procedures.presence import part_present
from handwheel.procedures.program import Act, Fork, Guarded, Items, Loop, Program, inside
from handwheel.procedures.simulate.anatomy import Anatomy
from handwheel.procedures.simulate.book import Book
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.power import MAINS, mains
from handwheel.procedures.simulate.reaching import programs_of
from handwheel.procedures.simulate.things import Things, things_of
from handwheel.procedures.simulate.trace import NOTHING, Subject
from handwheel.procedures.simulate.world import Fact, World
from handwheel.records.values import Amount, Varies, When


def start(ground: Ground, machines: int, neglected: bool, book: Book, only: frozenset[Subject] | None = None) -> World:
    """The state at the start: in order, live, untested; neglected also means settings lost, points dry and gummed.

    With `only`, other settings and points are left out: nothing that is run looks at them.
    """
    world = World(machines)
    facts: dict[Fact, int] = {("live", MAINS): mains(ground, world)}
    for proof in ground.library.proofs.values():
        facts["stale", proof.id] = ground.when(proof.when, world)
    if neglected:
        facts |= dict(_neglected(ground, world, only))
    facts = {fact: mask for fact, mask in facts.items() if mask}
    for fact, mask in facts.items():
        book.note(fact, True, mask, None, NOTHING, {})
    return world.with_facts(facts)


def _neglected(ground: Ground, world: World, only: frozenset[Subject] | None) -> Iterator[tuple[Fact, int]]:
    for setting in ground.library.settings.values():
        if not setting.arrangement and (only is None or ("settings", setting.id) in only):
            yield ("lost", setting.id), ground.setting(setting.id, world)
    gummed: dict[str, int] = {}
    for point in ground.library.oiling_points.values():
        if only is not None and ("oiling_points", point.id) not in only:
            continue
        there = ground.point(point.id, world)
        yield ("dry", point.id), there
        for part in point.between:
            gummed[part] = gummed.get(part, 0) | there
    for part, there in gummed.items():
        yield ("gummed", part), there
    for finding in ground.library.findings.values():
        if any(each.moved_by == finding.id for each in ground.library.positions.values()):
            yield ("may be seized", finding.id), ground.when(finding.when, world)


# -------------------------------------------------------------------------------- which questions


def questions(
    anatomy: Anatomy, programs: Iterable[Program], more: Iterable[Condition], neglected: bool
) -> frozenset[str]:
    """Features that the run's conditions read, and those that its parts, screws and settings hang on."""
    programs = tuple(programs)
    programs = (*programs, *programs_of(anatomy.library, programs))
    found: set[str] = set()
    for condition in (*more, *conditions_in(programs), *_conditions_of_things(anatomy, programs, neglected)):
        found |= questions_of(condition)
    library = anatomy.library
    for act in (act for program in programs for act in program.acts):
        found |= {*changes_of(library, act.step), *act.step.asks}
    for choice in tuple(found & library.choices.keys()):
        found |= library.choices[choice].means.keys()
    return frozenset(found & library.features.keys() | {q for q in found if ":" in q})


def conditions_in(programs: Iterable[Program]) -> Iterator[Condition]:
    """Every condition that is written in the programs."""
    for program in programs:
        yield program.condition
        yield from _of_items(program.items)


def _of_items(items: Items) -> Iterator[Condition]:
    for item in items:
        match item:
            case Act():
                yield item.condition
            case Guarded(when=when):
                yield when.condition
            case Fork(arms=arms):
                yield from (arm.when.condition for arm in arms)
            case Loop():
                yield item.condition
            case _:
                pass
        for held in inside(item):
            yield from _of_items(held)


def _conditions_of_things(anatomy: Anatomy, programs: Iterable[Program], neglected: bool) -> Iterator[Condition]:
    library = anatomy.library
    for proof in library.proofs.values():
        yield from _when(proof.when)
    for prohibition in library.prohibitions.values():
        yield from _when(prohibition.when)
    yield from conditions_of(anatomy, things_of(anatomy, programs, neglected))
    yield from _of_asked(anatomy, programs)


def conditions_of(anatomy: Anatomy, things: Things) -> Iterator[Condition]:
    """Conditions on which it hangs that these are there, and how they are made."""
    library = anatomy.library
    for part in things.parts:
        yield from _of_part(anatomy, part)
    for fastener in things.fasteners:
        yield from _when(library.fasteners[fastener].when)
        yield from _varies(library.fasteners[fastener].seat)
    for setting in things.settings:
        yield from _when(library.settings[setting].when)
    for point in things.points:
        yield from _when(library.oiling_points[point].when)


def _of_part(anatomy: Anatomy, part: str) -> Iterator[Condition]:
    record = anatomy.library.parts[part]
    yield part_present(anatomy.library, part)
    for feature in anatomy.library.features.values():
        if feature.missing and feature.carried_by in (part, *anatomy.carriers[part]):
            yield Is(feature.id, frozenset((MISSING,)))
    for varies in (record.mass, record.material, record.finish):
        yield from _varies(varies)


def _of_asked(anatomy: Anatomy, programs: Iterable[Program]) -> Iterator[Condition]:
    library = anatomy.library
    for step in (act.step for program in programs for act in program.acts):
        for plural, named in (("findings", step.finds), ("readings", step.measures), ("choices", step.asks)):
            for each in named:
                yield from _when(library.of(plural)[each].when)
        for item in (*step.takes_in, *step.gives_back):
            yield from _when(library.items[item].when)
    for finding in library.findings.values() if any(library.positions) else ():
        yield from _when(finding.when)


def _when(when: When | None) -> Iterator[Condition]:
    if when is not None:
        yield when.condition


def _varies(varies: Varies[str] | Varies[Amount] | None) -> Iterator[Condition]:
    for case in varies.cases if varies else ():
        yield case.condition
