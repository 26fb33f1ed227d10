"""The least that must come off: fewest steps, then fewest minutes, proven by search; an order that can be done.

What is off stays off while parts are reached, so that taking more off never bars anything: a set of steps can be done
in some order exactly if it can be done by always taking the next that can be. Steps that every way needs are taken
first without trying others; only where ways part are they tried, the cheapest first (Dijkstra's search over sets).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from typing import Protocol

from handwheel.machines.conditions import Condition
from handwheel.procedures.program import Act
from handwheel.procedures.removals import Led, Removal, reach_of
from handwheel.procedures.simulate.anatomy import Anatomy, Blocker, anatomy_of
from handwheel.records.library import Library

MOST = 20_000
"""Sets of steps that are looked at before the search gives up proving."""

Cost = tuple[int, int, float]
"""Parts that no step takes off, steps, likely minutes of the steps that tell theirs."""


class Sight(Protocol):
    """What can be told of one machine as it stands."""

    def holds(self, condition: Condition) -> bool:
        """Whether a condition holds; one that a step must ask first does not count."""

    def has(self, plural: str, identifier: str) -> bool:
        """Whether the machine has the thing."""

    def is_so(self, kind: str, subject: str, /) -> bool:
        """Whether a fact is so now: ("off", part), ("out", fastener), ("loose", fastener)."""


@dataclass(frozen=True)
class Way:
    """How parts come off on one machine."""

    acts: tuple[Act, ...] = ()
    """Steps in order, with the steps that undo and mark before them."""
    missing: tuple[str, ...] = ()
    """Parts that must come off and that no step takes off."""
    barred: bool = False
    """Whether nothing that can come off makes way."""
    proven: bool = True
    """Whether no shorter way is left untried."""


@dataclass(frozen=True, eq=False)
class _Option:
    """One thing that can be done: a step, or a part's coming off that no step tells."""

    number: int
    parts: tuple[str, ...]
    acts: tuple[Act, ...]
    told: bool
    needs: tuple[tuple[Blocker, frozenset[str]], ...]
    """What may be in front, each with the parts that the step itself has taken off by then."""


def least(library: Library, sight: Sight, parts: tuple[str, ...], off: bool) -> Way:
    """The shortest way to take the parts off, or with `off` false to have nothing in front of them and their screws."""
    return _Search(library, sight, tuple(dict.fromkeys(parts)), off).way()


@dataclass(frozen=True, eq=False)
class _Search:
    library: Library
    sight: Sight
    wanted: tuple[str, ...]
    take_off: bool

    # ------------------------------------------------------------------------------- the machine

    @cached_property
    def anatomy(self) -> Anatomy:
        return anatomy_of(self.library)

    @cached_property
    def there(self) -> dict[str, bool]:
        """Parts that may matter -> whether they are on the machine or in an assembly beside it."""
        parts = reach_of(self.library, self.wanted).parts
        return {part: self.sight.has("parts", part) and not self.sight.is_so("off", part) for part in parts}

    def _ahead(self, blockers: Iterable[Blocker]) -> Iterator[Blocker]:
        """Blockers that are in front now."""
        for each in blockers:
            if self.sight.has("parts", each.part) and not any(self.sight.is_so("off", part) for part in each.hung):
                yield each

    def _screws(self, part: str) -> Iterator[Blocker]:
        """What is in front of screws that still hold the part."""
        for fastener in self.anatomy.holders.get(part, ()):
            blockers = self.anatomy.fastener_blockers.get(fastener, ())
            if blockers and self.sight.has("fasteners", fastener) and not self._given(fastener):
                yield from self._ahead(blockers)

    def _given(self, fastener: str) -> bool:
        loosened = self.library.fasteners[fastener].release == "loosened"
        return self.sight.is_so("out", fastener) or (loosened and self.sight.is_so("loose", fastener))

    @cached_property
    def goal(self) -> tuple[Blocker, ...]:
        """What must not be in front in the end."""
        found: list[Blocker] = []
        for part in self.wanted if not self.take_off else ():
            if self.there[part]:
                found += (*self._ahead(self.anatomy.part_blockers.get(part, ())), *self._screws(part))
        return tuple(found)

    def _reached(self, off: frozenset[str]) -> bool:
        if self.take_off:
            return all(part in off or not self.there[part] for part in self.wanted)
        return all(not off.isdisjoint(each.hung) for each in self.goal)

    # ------------------------------------------------------------------------------ what can be done

    @cached_property
    def options(self) -> dict[str, tuple[_Option, ...]]:
        """Part -> what takes it off on this machine; made when first needed, since most parts never are."""
        return {}

    def _taking(self, part: str) -> tuple[_Option, ...]:
        if part not in self.options:
            steps = self._usable(part) if self.there[part] else ()
            if self.there[part] and not steps:
                number = self._numbers[part]
                steps = (_Option(number, (part,), (), False, tuple(self._needs((), (part,)))),)
            self.options[part] = steps
        return self.options[part]

    @cached_property
    def _numbers(self) -> dict[str, int]:
        """Numbers after those of all steps, for parts that no step takes off."""
        return {part: 1_000_000 + place for place, part in enumerate(self.library.parts)}

    @cached_property
    def _made(self) -> dict[int, _Option]:
        return {}

    def _usable(self, part: str) -> tuple[_Option, ...]:
        found: list[tuple[Removal, _Option]] = []
        for removal in reach_of(self.library, self.wanted).removals:
            step = removal.act.step
            if part not in step.removes or not all(self.there[each] for each in step.removes):
                continue
            if all(map(self.sight.holds, removal.conditions)):
                option = self._option(removal)
                if not any(_better(one, other, removal, option) for one, other in found):
                    found.append((removal, option))
        return tuple(option for _, option in found)

    def _option(self, removal: Removal) -> _Option:
        made = self._made.get(removal.number)
        if made is None:
            before = [each.act for each in removal.before if self._still(each)]
            acts = (*before, removal.act)
            needs = tuple(self._needs(acts, tuple(dict.fromkeys(removal.act.step.removes))))
            made = _Option(removal.number, removal.act.step.removes, acts, True, needs)
            self._made[removal.number] = made
        return made

    def _still(self, led: Led) -> bool:
        """Whether a step before is for this machine, and not done already as far as screws tell."""
        screws = (*led.act.step.undoes, *led.act.step.loosens)
        done = screws and not led.act.step.marks and all(map(self._given, screws))
        return not done and all(map(self.sight.holds, led.conditions))

    def _needs(self, acts: tuple[Act, ...], parts: tuple[str, ...]) -> Iterator[tuple[Blocker, frozenset[str]]]:
        nothing = frozenset[str]()
        for act in acts:
            for fastener in (*act.step.undoes, *act.step.loosens):
                if self.sight.has("fasteners", fastener):
                    blockers = self.anatomy.fastener_blockers.get(fastener, ())
                    yield from ((each, nothing) for each in self._ahead(blockers))
        for place, part in enumerate(parts):
            before = frozenset(parts[:place])
            for each in (*self._ahead(self.anatomy.part_blockers.get(part, ())), *self._screws(part)):
                yield each, before

    # ------------------------------------------------------------------------------------ search

    def way(self) -> Way:
        """The shortest way."""
        found, proven = self._cheapest()
        if found is None:
            return Way(barred=True, proven=proven)
        acts: dict[str, Act] = {}
        order = self._in_order(found)
        for option in order:
            acts |= {_key(act): act for act in option.acts if _key(act) not in acts}
        missing = tuple(part for option in order if not option.told for part in option.parts)
        return Way(tuple(acts.values()), missing, proven=proven)

    def _cheapest(self) -> tuple[frozenset[_Option] | None, bool]:
        start = self._with_sure(frozenset())
        heap = [(self._cost(start), _numbers(start), start)]
        seen = {_numbers(start)}
        tried = 0
        while heap:
            _, _, done = heappop(heap)
            off = _off(done)
            if self._reached(off):
                return done, True
            tried += 1
            if tried > MOST:
                return self._some(done), False
            for option in self._next(done, off):
                new = self._with_sure(done | {option})
                if (numbers := _numbers(new)) not in seen:
                    seen.add(numbers)
                    heappush(heap, (self._cost(new), numbers, new))
        return None, True

    def _some(self, done: frozenset[_Option]) -> frozenset[_Option] | None:
        """Any way on from here: all that can come off, less what is not needed."""
        while not self._reached(_off(done)):
            more = frozenset(self._next(done, _off(done)))
            if not more:
                return None
            done |= more
        for option in sorted(done, key=lambda each: -each.number):
            if self._reached(_off(self._possible(done - {option}))):
                done = self._possible(done - {option})
        return done

    def _possible(self, options: frozenset[_Option]) -> frozenset[_Option]:
        return frozenset(self._in_order(options))

    def _next(self, done: frozenset[_Option], off: frozenset[str]) -> Iterator[_Option]:
        for part in self.there:
            for option in self._taking(part) if part not in off else ():
                if option not in done and off.isdisjoint(option.parts) and _free(option, off):
                    yield option

    def _in_order(self, options: frozenset[_Option]) -> list[_Option]:
        """What of the options can be done, always the first as written of those that can be."""
        left, order, off = sorted(options, key=lambda each: each.number), list[_Option](), frozenset[str]()
        while option := next((each for each in left if off.isdisjoint(each.parts) and _free(each, off)), None):
            left.remove(option)
            order.append(option)
            off |= frozenset(option.parts)
        return order

    def _with_sure(self, done: frozenset[_Option]) -> frozenset[_Option]:
        """With what every way needs, as far as it can be done now."""
        off = _off(done)
        while option := next(
            (o for o in self.sure if o not in done and off.isdisjoint(o.parts) and _free(o, off)), None
        ):
            done |= {option}
            off |= frozenset(option.parts)
        return done

    @cached_property
    def sure(self) -> tuple[_Option, ...]:
        """Options without which no way can be."""
        found: dict[int, _Option] = {}
        waiting: list[tuple[str, ...]] = [each.hung for each in self.goal]
        if self.take_off:
            waiting = [(part,) for part in self.wanted if self.there[part]]
        while waiting:
            ways = {option.number: option for part in waiting.pop() for option in self._taking(part)}
            if len(ways) == 1 and not ways.keys() <= found.keys():
                (option,) = ways.values()
                found[option.number] = option
                waiting += [each.hung for each, gone in option.needs if gone.isdisjoint(each.hung)]
        return tuple(found[number] for number in sorted(found))

    def _cost(self, options: frozenset[_Option]) -> Cost:
        acts = {_key(act): act for option in options for act in option.acts}
        minutes = sum(act.step.minutes.likely for act in acts.values() if act.step.minutes is not None)
        return sum(not option.told for option in options), len(acts), round(minutes, 6)


def _better(one: Removal, other: _Option, removal: Removal, option: _Option) -> bool:
    """Whether a step written earlier does the very same with no more before it and in no more minutes."""
    same: Callable[[Act], object] = lambda act: (act.step.removes, act.step.undoes, act.step.loosens)  # noqa: E731
    before = [_key(act) for act in other.acts[:-1]] == [_key(act) for act in option.acts[:-1]]
    return same(one.act) == same(removal.act) and before and _minutes(one.act) <= _minutes(removal.act)


def _key(act: Act) -> str:
    return f"{act.anchor} {act.id}"


def _minutes(act: Act) -> float:
    return act.step.minutes.likely if act.step.minutes is not None else 0.0


def _free(option: _Option, off: frozenset[str]) -> bool:
    return all(not gone.isdisjoint(each.hung) or not off.isdisjoint(each.hung) for each, gone in option.needs)


def _off(options: Iterable[_Option]) -> frozenset[str]:
    return frozenset(part for option in options for part in option.parts)


def _numbers(options: Iterable[_Option]) -> tuple[int, ...]:
    return tuple(sorted(option.number for option in options))
