"""Which machines have a part or a fastener: said once where it must be, derived everywhere else."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.reduce import conjunction
from handwheel.records.library import Library
from handwheel.records.values import When


@lru_cache(maxsize=8192)
def part_present(library: Library, part: str) -> Condition:
    """A part is there when its own condition holds, its layer's, and those of whatever it comes along with."""
    return conjunction(_conditions(library, part, frozenset()))


@lru_cache(maxsize=8192)
def fastener_present(library: Library, fastener: str) -> Condition:
    """A fastener is there when its own condition holds and everything that it holds is there."""
    record = library.fasteners[fastener]
    held = (part_present(library, part) for part in record.holds)
    return conjunction((_condition(record.when), *held))


@lru_cache(maxsize=8)
def holders(library: Library) -> dict[str, tuple[str, ...]]:
    """Part -> the fasteners that hold it."""
    found: dict[str, tuple[str, ...]] = {}
    for fastener in library.fasteners.values():
        for part in fastener.holds:
            found[part] = (*found.get(part, ()), fastener.id)
    return found


@lru_cache(maxsize=8)
def _layers(library: Library) -> dict[str, tuple[str, Condition]]:
    """Part in a stack -> the assembly, and the condition of its layer."""
    return {
        layer.part: (assembly.id, _condition(layer.when))
        for assembly in library.parts.values()
        for layer in assembly.stack
    }


def _conditions(library: Library, part: str, seen: frozenset[str]) -> Iterator[Condition]:
    record = library.parts.get(part)
    if record is None or part in seen:  # a circle of parts is told of elsewhere
        return
    carrier, layer = _layers(library).get(part, ("", ALWAYS))
    yield _condition(record.when)
    yield layer
    for outer in dict.fromkeys((record.inside, carrier)):
        yield from _conditions(library, outer, seen | {part})


def _condition(when: When | None) -> Condition:
    return when.condition if when else ALWAYS
