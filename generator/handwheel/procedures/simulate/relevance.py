"""Which questions something later reads, answers or mends: all others can be forgotten, so that worlds become one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from handwheel.machines.conditions import Condition, questions_of
from handwheel.procedures.changes import changes_of
from handwheel.procedures.program import Act, Fork, Guarded, Item, Items, Loop, Reached
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.reaching import possible
from handwheel.records.step_records import Step
from handwheel.records.work_records import Aim

MOST = 20_000
"""Lists of items that are remembered."""

IDLE = ("clean", "tested", "waiting", "marked", "wet")
"""Kinds of facts that change nothing by themselves: kept only while something later reads them."""


def idle(kind: str, subject: str) -> str:
    """The name under which such a fact is asked for; a trial counts for its agent, on whatever part."""
    return f"{kind} {subject.rpartition(' ')[2]}"


class Relevance:
    """Remembers, for every list of items, what each of them and all that follow depend on.

    Whatever is looked up by its identity is held beside the answer, so that its identity stays its own.
    """

    def __init__(self, ground: Ground) -> None:
        self._ground = ground
        self._library = ground.library
        self._anatomy = ground.anatomy
        self._of: dict[int, tuple[Item, frozenset[str]]] = {}
        self._after: dict[int, tuple[Items, tuple[frozenset[str], ...]]] = {}
        self._through: dict[int, tuple[Items, tuple[tuple[Item, frozenset[str], frozenset[str]], ...]]] = {}
        self._moved: dict[int, tuple[Act, tuple[str, ...]]] = {}
        self._readings = _readings_lost_by(ground)

    def after(self, items: Items) -> tuple[frozenset[str], ...]:
        """For each item, what those after it in the list depend on."""
        found = self._after.get(id(items))
        if found is None:
            self._make_room()
            later: frozenset[str] = frozenset()
            lists = []
            for item in reversed(items):
                lists.append(later)
                later |= self.of(item)
            found = self._after[id(items)] = (items, tuple(reversed(lists)))
        return found[1]

    def through(self, items: Items) -> tuple[tuple[Item, frozenset[str], frozenset[str]], ...]:
        """Each item with what those after it depend on, and what it alone of them depends on."""
        found = self._through.get(id(items))
        if found is None:
            after = self.after(items)
            steps = ((item, later, self.of(item) - later) for item, later in zip(items, after, strict=True))
            found = self._through[id(items)] = (items, tuple(steps))
        return found[1]

    def _make_room(self) -> None:
        """Plans that are run once come by in thousands: what is remembered stays within bounds."""
        if len(self._after) > MOST:
            for each in (self._after, self._through, self._of, self._moved):
                each.clear()

    def of_all(self, items: Items) -> frozenset[str]:
        """What a list of items depends on."""
        return self.after(items)[0] | self.of(items[0]) if items else frozenset()

    def of(self, item: Item) -> frozenset[str]:
        """What one item depends on."""
        found = self._of.get(id(item))
        if found is None:
            found = self._of[id(item)] = (item, frozenset(self._questions(item)))
        return found[1]

    def of_condition(self, condition: Condition) -> frozenset[str]:
        """Questions asked at steps that a condition reads."""
        return questions_of(condition) & self._ground.states.keys()

    def _questions(self, item: Item) -> Iterator[str]:
        match item:
            case Act():
                yield from self.of_condition(item.condition)
                yield from self._of_step(item.step)
            case Guarded(when=when, items=items):
                yield from self.of_condition(when.condition)
                yield from self.of_all(items)
            case Fork(arms=arms):
                for arm in arms:
                    yield from self.of_condition(arm.when.condition)
                    yield from self.of_all(arm.items)
            case Loop():
                yield from self.of_condition(item.condition)
                yield from self.of_all(item.items)
                yield from self.of_all(item.otherwise)
            case Reached(parts=parts, items=items):
                yield from self.of_all(items)
                yield from self.of_all(possible(self._library, parts))

    def _of_step(self, step: Step) -> Iterator[str]:
        yield from (*step.finds, *step.measures, *step.asks, *step.becomes)
        for part in step.renews:
            yield from self._anatomy.findings_of.get(part, ())
        yield from self._choices(changes_of(self._library, step))
        for moved in (*step.removes, *step.undoes, *step.loosens, *step.renews, *step.sets, *step.disturbs):
            yield from self._readings.get(moved, ())
        yield from self._movers(step)
        yield from self._facts(step)

    def movers(self, act: Act) -> tuple[str, ...]:
        """Findings on what the step may turn, on some machine."""
        found = self._moved.get(id(act))
        if found is None:
            found = self._moved[id(act)] = (act, tuple(sorted(set(self._movers(act.step)))))
        return found[1]

    def _facts(self, step: Step) -> Iterator[str]:
        """Facts of the idle kinds that the step may read; rather too many than too few."""
        yield from (idle("tested", agent) for agent in step.cleans.values())
        touched = (*step.removes, *step.fits, *step.renews, *step.cleans, *step.heats)
        yield from (idle("waiting", part) for part in touched)
        yield from (idle("marked", setting) for setting in self._undone(step))
        yield from (idle("wet", part) for part in self._library.parts if step.heats)

    def _undone(self, step: Step) -> Iterator[str]:
        """Settings that the step may lose by undoing what holds them."""
        anatomy = self._anatomy
        for part in (*step.removes, *step.renews):
            for each in (part, *anatomy.below(part)):
                yield from anatomy.settings_on.get(each, ())
        held = (each for setting in step.sets for each in self._library.settings[setting].held_by)
        for name in (*step.removes, *step.renews, *step.undoes, *step.loosens, *held):
            yield from anatomy.held_settings.get(name, ())

    def of_aim(self, aim: Aim | None) -> frozenset[str]:
        """What an aim reads when its procedure is over."""
        return frozenset(idle("clean", part) for part in aim.clean) if aim else frozenset()

    def _choices(self, features: Iterable[str]) -> Iterator[str]:
        for choice in self._library.choices.values():
            if not choice.means.keys().isdisjoint(features):
                yield choice.id

    def _movers(self, step: Step) -> Iterator[str]:
        positions = {*step.puts}
        for part in (*step.removes, *step.fits):
            positions |= self._library.parts[part].take_at.keys()
        for setting in step.sets:
            record = self._library.settings[setting]
            positions |= record.set_when.positions.keys() if record.set_when else set()
        movers = {*step.turns, *(self._library.positions[each].moved_by for each in positions)}
        yield from movers & self._library.findings.keys()


def _readings_lost_by(ground: Ground) -> dict[str, frozenset[str]]:
    """Part, fastener or setting -> readings that moving it makes right, or puts in doubt."""
    found: dict[str, set[str]] = {}
    for setting in ground.library.settings.values():
        if setting.reading:
            for each in (setting.id, *setting.after, *_what_moves(ground, setting.id)):
                found.setdefault(each, set()).add(setting.reading)
    return {each: frozenset(readings) for each, readings in found.items()}


def _what_moves(ground: Ground, setting: str) -> Iterator[str]:
    held_by = ground.library.settings[setting].held_by
    yield from held_by
    for holder in held_by:
        if holder in ground.library.fasteners:
            yield from ground.library.fasteners[holder].holds
            yield from ground.anatomy.held_settings.get(holder, ())
