"""Parts each of which can only come off after the other.

What it proves:
    On no machine do parts lie behind one another in a circle, by their own `behind:`, by that of the fasteners that
    hold them, or by their place in a stack. Parts with different carriers are left out, since an assembly may be
    taken off whole.

Why it matters at the bench:
    The machine came together once, so it comes apart: one of the facts is wrong, and whoever believes the page forces
    a cover that should have been turned, or begins at the wrong end.

Failing example:
    parts:
      end-cover: {name: end cover, rests: true, behind: [inner-cover]}
      inner-cover: {name: inner cover, rests: true, behind: [end-cover]}

Passing example:
    parts:
      end-cover: {name: end cover, rests: true}
      inner-cover: {name: inner cover, rests: true, behind: [end-cover]}

How to mend it:
    Look which of them comes off first, and take it out of the other direction.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.machines.reduce import conjunction
from handwheel.procedures.existence import present
from handwheel.procedures.presence import holders
from handwheel.records.library import Library
from handwheel.records.places import Place

Edges = Mapping[str, Mapping[str, Place]]


@rule("error")
def find(library: Library, machines: Machines) -> Iterator[Finding]:
    """Circles of parts that stand on one machine together, each told of once."""
    edges = _edges(library)
    told = set()
    for ring in _rings(edges):
        if frozenset(ring) in told:
            continue
        together = conjunction(present(library, "parts", each) for each in ring)
        for space in machines.spaces(together):
            mask = machines.where(space, together)
            if mask:
                told.add(frozenset(ring))
                yield _finding(edges, ring, machines.words(space, mask))


def _finding(edges: Edges, ring: tuple[str, ...], machines: str) -> Finding:
    places = [edges[one][other] for one, other in zip(ring, (*ring[1:], ring[0]), strict=True)]
    first = min(range(len(ring)), key=lambda index: places[index])
    turned = (*ring[first:], *ring[:first])
    return Finding(
        place=places[first],
        subject=f"parts/{turned[0]}",
        what=f"each of these lies behind the next: {' -> '.join((*turned, turned[0]))}",
        right="one of these links taken out",
        machines=machines,
        related=tuple((place, "another link") for place in places if place != places[first]),
    )


def _edges(library: Library) -> Edges:
    """Part -> part that must come off before it, both with one carrier -> where that is said."""
    carrier = {part.id: part.inside for part in library.parts.values()}
    carrier |= {layer.part: part.id for part in library.parts.values() for layer in part.stack}
    found: dict[str, dict[str, Place]] = {part: {} for part in library.parts}
    for part in library.parts.values():
        told = [(other, part.where("behind")) for other in part.behind]
        for fastener in holders(library).get(part.id, ()):
            record = library.fasteners[fastener]
            told += [(other, record.where("behind")) for other in record.behind]
        for other, place in told:
            if carrier.get(other) == carrier.get(part.id):
                found[part.id].setdefault(other, place)
        layers = [layer.part for layer in part.stack]
        for index, layer in enumerate(layers):
            for outer in layers[:index]:
                found[layer].setdefault(outer, part.where("stack"))
    return found


def _rings(edges: Edges) -> Iterator[tuple[str, ...]]:
    """Circles, found by going on from each part until one is met again; parts that lead to none are dropped."""
    left = _in_circles(edges)
    for start in sorted(left):
        stack: list[tuple[str, ...]] = [(start,)]
        while stack:
            path = stack.pop()
            for other in edges[path[-1]]:
                if other == start:
                    yield path
                elif other in left and other > start and other not in path and len(path) < _LONGEST:
                    stack.append((*path, other))


_LONGEST = 6
"""Parts in a circle beyond which a shorter one is told of in its place, or nothing can be made of it."""


def _in_circles(edges: Edges) -> frozenset[str]:
    """Parts that neither come first nor lead only to parts that do, again and again."""
    left = set(edges)
    while True:
        keep = {part for part in left if any(other in left for other in edges[part])}
        keep = {part for part in keep if any(part in edges[other] for other in keep)}
        if keep == left:
            return frozenset(left)
        left = keep
