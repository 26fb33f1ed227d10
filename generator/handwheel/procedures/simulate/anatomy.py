"""How a machine hangs together, whichever it is: what carries, what stands in front, what holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from handwheel.procedures.presence import holders
from handwheel.records.library import Library


@dataclass(frozen=True)
class Blocker:
    """A part in front of something."""

    part: str
    hung: tuple[str, ...]
    """Parts that must all be in place for it to be in the way: itself, and every carrier up to the common one."""


@dataclass(frozen=True, eq=False)
class Anatomy:
    """What follows from the records without asking which machine it is."""

    library: Library
    root: str
    carrier: Mapping[str, str]
    """Part -> the part that it comes along with; none for parts that hang on the root."""
    carriers: Mapping[str, tuple[str, ...]]
    """Part -> its carriers, nearest first, without the root."""
    children: Mapping[str, tuple[str, ...]]
    """Part -> parts that come along with it, one level down; the root carries all that nothing else does."""
    electrical_on: Mapping[str, tuple[Blocker, ...]]
    """Part -> what is electrical of all that comes along with it, as long as all between hangs together."""
    part_blockers: Mapping[str, tuple[Blocker, ...]]
    fastener_blockers: Mapping[str, tuple[Blocker, ...]]
    point_blockers: Mapping[str, tuple[Blocker, ...]]
    holders: Mapping[str, tuple[str, ...]]
    """Part -> fasteners that hold it."""
    held_settings: Mapping[str, tuple[str, ...]]
    """Fastener or part -> settings that it holds."""
    settings_on: Mapping[str, tuple[str, ...]]
    """Part -> settings that it holds, or that a fastener of it holds."""
    parts_of_setting: Mapping[str, tuple[str, ...]]
    """Setting -> parts that hold it, or that its fasteners hold."""
    dependents: Mapping[str, tuple[str, ...]]
    """Setting -> settings that rest on it."""
    points_on: Mapping[str, tuple[str, ...]]
    """Part -> oiling points between it and others."""
    findings_of: Mapping[str, tuple[str, ...]]
    """Part -> findings about it."""
    sewing_settings: frozenset[str]
    """Settings that sewing needs."""

    def below(self, part: str) -> tuple[str, ...]:
        """Everything that comes along with the part, outermost first."""
        found: list[str] = []
        for child in self.children.get(part, ()):
            found += (child, *self.below(child))
        return tuple(found)


@lru_cache(maxsize=8)
def anatomy_of(library: Library) -> Anatomy:
    """The anatomy of a library, made once."""
    carrier = _carrier(library)
    carriers = {part: _chain(carrier, part) for part in library.parts}
    root = next((part.id for part in library.parts.values() if part.root), "")
    on_setting = {each.id: _parts_of_setting(library, each.held_by) for each in library.settings.values()}
    return Anatomy(
        library=library,
        root=root,
        carrier=carrier,
        carriers=carriers,
        children=_children(library, carrier, root),
        electrical_on=_electrical_on(library, carriers, root),
        part_blockers={part: _part_blockers(library, carriers, carrier, part) for part in library.parts},
        fastener_blockers={
            each.id: _blockers(carriers, each.holds[0], each.behind) if each.holds else ()
            for each in library.fasteners.values()
        },
        point_blockers={
            each.id: _point_blockers(carriers, each.between, each.behind) for each in library.oiling_points.values()
        },
        holders=holders(library),
        held_settings=_inverse({each.id: each.held_by for each in library.settings.values()}),
        settings_on=_inverse(on_setting),
        parts_of_setting=on_setting,
        dependents=_inverse({each.id: each.after for each in library.settings.values()}),
        points_on=_inverse({each.id: each.between for each in library.oiling_points.values()}),
        findings_of=_inverse({each.id: (each.of,) for each in library.findings.values() if each.of}),
        sewing_settings=frozenset(
            setting for setting, parts in on_setting.items() if any(library.parts[part].sews for part in parts)
        ),
    )


def _carrier(library: Library) -> dict[str, str]:
    found = {part.id: part.inside for part in library.parts.values() if part.inside and not part.root}
    for assembly in library.parts.values():
        for layer in assembly.stack:
            found.setdefault(layer.part, assembly.id)
    root = next((part.id for part in library.parts.values() if part.root), "")
    return {part: on for part, on in found.items() if on != root}


def _chain(carrier: Mapping[str, str], part: str) -> tuple[str, ...]:
    found: list[str] = []
    while (part := carrier.get(part, "")) and part not in found:
        found.append(part)
    return tuple(found)


def _children(library: Library, carrier: Mapping[str, str], root: str) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for part in library.parts:
        on = carrier.get(part, root)
        if part != root and on and part not in _chain(carrier, part):
            found[on] = (*found.get(on, ()), part)
    return found


def _electrical_on(
    library: Library, carriers: Mapping[str, tuple[str, ...]], root: str
) -> dict[str, tuple[Blocker, ...]]:
    found: dict[str, tuple[Blocker, ...]] = {}
    for part in library.parts.values():
        above = (*carriers[part.id], root) if part.electrical and not part.root else ()
        for carrier in above if part.id not in above else ():
            found[carrier] = (*found.get(carrier, ()), *_blockers(carriers, carrier, (part.id,)))
    return found


def _part_blockers(
    library: Library, carriers: Mapping[str, tuple[str, ...]], carrier: Mapping[str, str], part: str
) -> tuple[Blocker, ...]:
    return _blockers(carriers, part, (*library.parts[part].behind, *_before(library, carrier, part)))


def _before(library: Library, carrier: Mapping[str, str], part: str) -> tuple[str, ...]:
    """In a stack each part is behind all that come before it."""
    assembly = library.parts.get(carrier.get(part, ""))
    layers = [layer.part for layer in assembly.stack] if assembly else []
    return tuple(layers[: layers.index(part)]) if part in layers else ()


def _blockers(carriers: Mapping[str, tuple[str, ...]], part: str, behind: Iterable[str]) -> tuple[Blocker, ...]:
    return tuple(Blocker(other, (other, *_between(carriers, part, other))) for other in dict.fromkeys(behind))


def _point_blockers(
    carriers: Mapping[str, tuple[str, ...]], between: tuple[str, ...], behind: tuple[str, ...]
) -> tuple[Blocker, ...]:
    """A point is open as soon as one of the parts that run on each other there is out."""
    found = []
    for other in behind:
        links = [each for part in between for each in (part, *_between(carriers, part, other))]
        found.append(Blocker(other, tuple(dict.fromkeys((other, *links)))))
    return tuple(found)


def _between(carriers: Mapping[str, tuple[str, ...]], part: str, other: str) -> tuple[str, ...]:
    """Carriers that hold the two together, both ways up to the nearest that they share."""
    mine, its = carriers.get(part, ()), carriers.get(other, ())
    if other in mine:
        return mine[: mine.index(other)]
    if part in its:
        return its[: its.index(part)]
    shared = next((each for each in mine if each in its), None)
    up = mine if shared is None else mine[: mine.index(shared)]
    down = its if shared is None else its[: its.index(shared)]
    return (*up, *down)


def _parts_of_setting(library: Library, held_by: tuple[str, ...]) -> tuple[str, ...]:
    found: list[str] = []
    for each in held_by:
        found += library.fasteners[each].holds if each in library.fasteners else (each,)
    return tuple(dict.fromkeys(found))


def _inverse(many: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for source, targets in many.items():
        for target in dict.fromkeys(targets):
            found[target] = (*found.get(target, ()), source)
    return found
