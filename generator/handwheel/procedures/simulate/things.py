"""Parts, fasteners, settings and oiling points that a run can touch or look at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from handwheel.procedures.program import Program
from handwheel.procedures.simulate.anatomy import Anatomy, Blocker
from handwheel.records.step_records import Step
from handwheel.records.work_records import Aim


@dataclass(frozen=True)
class Things:
    """Ids by kind."""

    parts: frozenset[str]
    fasteners: frozenset[str]
    settings: frozenset[str]
    points: frozenset[str]


def things_of(anatomy: Anatomy, programs: Iterable[Program], neglected: bool) -> Things:
    """All that the programs may change, and all that must be looked at when they do."""
    things = _named(anatomy, tuple(programs), neglected)
    grown = _grown(anatomy, things)
    # Run alone, a part in front may be taken to be off already: with it go its fasteners and what they hold.
    granted = frozenset(_in_front(anatomy, grown))
    grown = _grown(anatomy, replace(grown, parts=things.parts | granted))
    return replace(grown, parts=grown.parts | frozenset((*_always(anatomy), *_looked_at(anatomy, grown))))


def changed_by(anatomy: Anatomy, programs: Iterable[Program], alone: bool) -> Things:
    """What the programs may change; run alone, also what is then taken to be off already."""
    things = _named(anatomy, tuple(programs), False)
    grown = _grown(anatomy, things)
    return (
        _grown(anatomy, replace(grown, parts=things.parts | frozenset(_in_front(anatomy, grown)))) if alone else grown
    )


def seen_by(anatomy: Anatomy, programs: Iterable[Program], alone: bool) -> Things:
    """What they may change, and what is looked at for the sake of it; not what every step looks at."""
    grown = changed_by(anatomy, programs, alone)
    return replace(grown, parts=grown.parts | frozenset(_looked_at(anatomy, grown)))


def _named(anatomy: Anatomy, programs: tuple[Program, ...], neglected: bool) -> Things:
    """What steps and aims name, and all that is lost or dry at a neglected start."""
    library = anatomy.library
    steps = [act.step for program in programs for act in program.acts]
    aims = [aim for program in programs if program.procedure and (aim := library.procedures[program.procedure].aim)]
    settings = {s for step in steps for s in (*step.sets, *step.marks, *step.disturbs)}
    settings |= {s for aim in aims for s in aim.set}
    for setting in tuple(settings):
        settings |= _around(anatomy, setting)
    points = {p for step in steps for p in step.lubricates} | {p for aim in aims for p in aim.oiled}
    return Things(
        parts=frozenset(
            (
                *(part for step in steps for part in _parts(anatomy, step)),
                *(part for aim in aims for part in _aimed_parts(anatomy, aim)),
            )
        ),
        fasteners=frozenset(f for step in steps for f in (*step.loosens, *step.undoes, *step.tightens)),
        settings=frozenset(library.settings) if neglected else frozenset(settings),
        points=frozenset(library.oiling_points) if neglected else frozenset(points),
    )


def _around(anatomy: Anatomy, setting: str) -> set[str]:
    """Settings that one rests on, that rest on it, and that share a fastener with it."""
    record = anatomy.library.settings[setting]
    shared = (other for holder in record.held_by for other in anatomy.held_settings.get(holder, ()))
    return {*record.after, *anatomy.dependents.get(setting, ()), *shared}


def _grown(anatomy: Anatomy, things: Things) -> Things:
    """With all that moving those things moves."""
    library = anatomy.library
    fasteners = set(things.fasteners) | {f for part in things.parts for f in anatomy.holders.get(part, ())}
    settings = set(things.settings)
    for holder in (*things.parts, *fasteners):
        settings |= {*anatomy.held_settings.get(holder, ()), *anatomy.settings_on.get(holder, ())}
    fasteners |= {f for s in settings for f in library.settings[s].held_by if f in library.fasteners}
    points = set(things.points) | {p for part in things.parts for p in anatomy.points_on.get(part, ())}
    return Things(things.parts, frozenset(fasteners), frozenset(settings), frozenset(points))


def _in_front(anatomy: Anatomy, things: Things) -> Iterator[str]:
    for part in things.parts:
        yield from (blocker.part for blocker in anatomy.part_blockers[part])
    for fastener in things.fasteners:
        yield from (blocker.part for blocker in anatomy.fastener_blockers[fastener])
    for point in things.points:
        yield from (blocker.part for blocker in anatomy.point_blockers[point])
    for setting in things.settings:
        record = anatomy.library.settings[setting].set_when
        yield from record.open if record else ()


def _parts(anatomy: Anatomy, step: Step) -> Iterator[str]:
    yield from (*step.removes, *step.fits, *step.renews, *step.heats, *step.tests_on)
    for part in (*step.cleans, *step.lifts):
        yield from (part, *anatomy.below(part))
    yield from step.wait.of if step.wait else ()


def _aimed_parts(anatomy: Anatomy, aim: Aim) -> Iterator[str]:
    yield from (*aim.apart, *aim.fitted, *aim.clean)
    for part in aim.stripped:
        yield from anatomy.children.get(part, ())


def _always(anatomy: Anatomy) -> Iterator[str]:
    """Parts that any step may ask for."""
    library = anatomy.library
    yield from (each.id for each in library.parts.values() if each.electrical or each.powers or each.root)
    yield from (part for each in library.parts.values() if each.turns for part in (each.id, *anatomy.carriers[each.id]))
    yield from (
        each.part for each in library.prohibitions.values() if each.effect == "turns" and each.part in library.parts
    )


def _looked_at(anatomy: Anatomy, things: Things) -> Iterator[str]:
    """Parts that are asked for when something else is done."""
    library = anatomy.library
    for part in things.parts:
        yield from (*anatomy.carriers[part], *_hung(anatomy.part_blockers[part]), *anatomy.below(part))
    for fastener in things.fasteners:
        yield from (*library.fasteners[fastener].holds, *_hung(anatomy.fastener_blockers[fastener]))
    for setting in things.settings:
        yield from anatomy.parts_of_setting[setting]
        record = library.settings[setting].set_when
        for part in (*record.open, *record.fitted) if record else ():
            yield from (part, *anatomy.carriers[part])
    for point in things.points:
        yield from (*library.oiling_points[point].between, *_hung(anatomy.point_blockers[point]))
        for part in library.oiling_points[point].between:
            yield from _hung(anatomy.electrical_on.get(part, ()))


def _hung(blockers: Iterable[Blocker]) -> Iterator[str]:
    for blocker in blockers:
        yield from blocker.hung
