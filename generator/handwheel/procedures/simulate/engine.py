"""Runs procedures, written out, on worlds: conditions, alternatives, repeats, and the end of each path."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from handwheel.machines.masks import union
from handwheel.procedures.least import Way
from handwheel.procedures.program import Act, Fork, Guarded, Item, Items, Loop, Program, Reached, acts_of
from handwheel.procedures.simulate import doing, ending, reaching
from handwheel.procedures.simulate.book import Book, Spot
from handwheel.procedures.simulate.deciding import Decider
from handwheel.procedures.simulate.ground import Ground
from handwheel.procedures.simulate.hand import Hand, Kit
from handwheel.procedures.simulate.lifting import LiftLimit
from handwheel.procedures.simulate.parts import take_off
from handwheel.procedures.simulate.relevance import Relevance
from handwheel.procedures.simulate.trace import NOTHING, ActRef, State, Summary
from handwheel.procedures.simulate.world import World, add, merged
from handwheel.records.places import Place
from handwheel.records.step_records import EFFECTS
from handwheel.records.work_records import Aim, Outcome, Procedure

Planner = Callable[[Reached, Ground, World], Iterable[tuple[int, Way]]]
"""How parts are reached on the machines of a world, from how they stand there."""


@dataclass(frozen=True)
class Setup:
    """How a run is to be made."""

    alone: bool = False
    """Whether one procedure is run by itself."""
    outcomes: Mapping[str, Outcome] | None = None
    """How the job may end; None where there is no job."""
    limit: LiftLimit = field(default_factory=LiftLimit)
    planner: Planner | None = None
    """Another planner than the one that takes the shortest way."""
    aims: Mapping[int, Aim] | None = None
    """What each procedure of the run, by position, aims at, where a run is to judge a part of it only."""


UNWRITTEN = Procedure(title="", steps=(), when=None, about=None, aim=None)
"""The record of steps that are put together and written nowhere."""


class Engine:
    """One run: worlds go through items, and everything that is met on the way is told to the book."""

    def __init__(self, ground: Ground, book: Book, setup: Setup) -> None:
        self.ground = ground
        self.book = book
        self.setup = setup
        self.relevance = ground.remembered(Relevance)
        self.decider = Decider(ground, book, setup.alone)
        self.summaries: list[Summary] = []
        self._kit = Kit(setup.alone, take_off)
        self._position = 0
        self._procedure = ""
        self._loops: list[Loop] = []
        self._reached: frozenset[str] = frozenset()
        self._ways: dict[tuple[object, ...], tuple[Item, tuple[Act, ...], tuple[Act, ...], Items]] = {}
        """By the identity of what is reached, and the way; the item is held, so that its identity stays its own."""
        self._spots: dict[tuple[int, int], tuple[Act, Spot]] = {}
        """By position and the identity of a step, which is held for the same reason."""

    # ------------------------------------------------------------------------------------ programs

    def programs(self, programs: Sequence[Program], start: World) -> list[World]:
        """Run procedures one after the other; gives the worlds whose path did not stop."""
        worlds = [start]
        later = [frozenset[str]()]
        for program in reversed(programs):
            own = self.relevance.of_all(program.items) | self.relevance.of_condition(program.condition)
            later.append(later[-1] | own | self.relevance.of_aim(self._record(program).aim))
        for position, program in enumerate(programs):
            self._position, self._procedure = position, program.procedure
            worlds = self._program(program, worlds, later[len(programs) - 1 - position])
        return worlds

    def _record(self, program: Program) -> Procedure:
        return self.ground.library.procedures.get(program.procedure, UNWRITTEN)

    def _program(self, program: Program, worlds: list[World], later: frozenset[str]) -> list[World]:
        record = self._record(program)
        others: list[World] = []
        mine: list[World] = []
        for world in worlds:
            for part, holds in self.decider.decide(world, program.condition, self._spot(record.place)):
                _divide(part, holds, mine, others)
        came = union(world.machines for world in mine)
        left = self.run(program.items, merged(mine), later | self.relevance.of_aim(record.aim))
        aim = record.aim if self.setup.aims is None else self.setup.aims.get(self._position)
        for world in left if aim else ():
            assert aim is not None
            ending.aimed(self.ground, self.book, world, self._spot(aim.place), aim)
        acts = tuple(acts_of(program.items))
        effects = sum(any(getattr(act.step, effect) for effect in EFFECTS) for act in acts)
        self.summaries.append(Summary(self._position, program.procedure, came, State(tuple(left)), effects, len(acts)))
        return self._tidied([*left, *others], later)

    def run(self, items: Items, worlds: list[World], later: frozenset[str]) -> list[World]:
        """Run a list of items; `later` is what everything after the list depends on."""
        for item, after, over in self.relevance.through(items):
            if not worlds:
                return []
            before, needed, gone = len(worlds), later | after, over - later
            worlds = self._item(item, worlds, needed)
            parted = not isinstance(item, Act) or len(worlds) != before
            if _brings(item):
                worlds = self._tidied(worlds, needed, parted)
            elif parted or gone:
                worlds = self._merged(worlds, [ending.drop(self.ground, each, gone) for each in worlds], parted)
        return worlds

    def _tidied(self, worlds: list[World], later: frozenset[str], changed: bool = True) -> list[World]:
        """Worlds without what nothing later depends on; made one where they may have become the same."""
        return self._merged(worlds, [ending.forget(self.ground, each, later) for each in worlds], changed)

    def _merged(self, before: list[World], worlds: list[World], changed: bool) -> list[World]:
        changed |= any(one is not other for one, other in zip(before, worlds, strict=True))
        kept = [world for world in worlds if world.machines]
        return merged(kept) if changed and len(kept) > 1 else kept

    def _item(self, item: Item, worlds: list[World], later: frozenset[str]) -> list[World]:
        match item:
            case Act():
                return [each for world in worlds for each in self._act(item, world)]
            case Guarded():
                return self._guarded(item, worlds, later)
            case Fork():
                return self._fork(item, worlds, later)
            case Loop():
                return self._loop(item, worlds, later)
            case Reached():
                return self._reach(item, worlds, later)

    # ---------------------------------------------------------------------------- what holds items

    def _guarded(self, item: Guarded, worlds: list[World], later: frozenset[str]) -> list[World]:
        inside: list[World] = []
        outside: list[World] = []
        for world in worlds:
            for part, holds in self.decider.decide(world, item.when.condition, self._spot(item.when.place)):
                _divide(part, holds, inside, outside)
        return [*self.run(item.items, merged(inside), later), *outside]

    def _fork(self, item: Fork, worlds: list[World], later: frozenset[str]) -> list[World]:
        spot = self._spot(item.place)
        chosen: list[list[World]] = [[] for _ in item.arms]
        left: list[World] = []
        for world in worlds:
            parts: list[tuple[World, tuple[int, ...]]] = [(world, ())]
            for arm in item.arms:
                parts = [
                    (each, (*masks, holds))
                    for part, masks in parts
                    for each, holds in self.decider.decide(part, arm.when.condition, spot)
                ]
            for part, masks in parts:
                left.extend(self._choose(part, masks, chosen, spot, item.question))
        done = [self.run(arm.items, merged(mine), later) for arm, mine in zip(item.arms, chosen, strict=True)]
        return [*left, *(world for worlds_ in done for world in worlds_)]

    def _choose(
        self, world: World, masks: tuple[int, ...], chosen: list[list[World]], spot: Spot, question: str
    ) -> list[World]:
        """Each machine takes the first alternative that holds; none or several are told."""
        subject = (self._plural(question), question) if question else NOTHING
        once = several = 0
        for place, mask in enumerate(masks):
            here = mask & world.machines
            several |= once & here
            mine = here & ~once
            once |= here
            if mine:
                chosen[place].append(world.within(mine))
        none = world.machines & ~once
        self.book.tell("no-alternative", spot, subject, none, world)
        self.book.tell("several-alternatives", spot, subject, several, world)
        return [world.within(none)] if none else []

    def _plural(self, question: str) -> str:
        kinds = ("features", "findings", "choices", "readings")
        return next((kind for kind in kinds if question in self.ground.library.of(kind)), "features")

    def _reach(self, item: Reached, worlds: list[World], later: frozenset[str]) -> list[World]:
        done: list[World] = []
        planner = self.setup.planner or reaching.ways
        for world in worlds:
            for machines, way in planner(item, self.ground, world):
                here = world.within(machines)
                if way.missing or way.barred:
                    self._tell_unreached(item, way, here)
                    done += self._without_plan(item, here, later)
                else:
                    done += self.run(self._planned(item, way, machines), [here], later)
        return done

    def _planned(self, item: Reached, way: Way, machines: int) -> Items:
        """The item's steps between those that reach the parts and those that put all back; the very same each time."""
        key = (id(item), *(act.anchor + act.id for act in way.acts))
        if key not in self._ways:
            first, back = reaching.first_of(item, way), reaching.back_of(item, way)
            self._ways[key] = (item, first, back, (*first, *item.items, *back))
        _, first, back, items = self._ways[key]
        self.book.plan(self._position, item, first, back, way.proven, machines)
        return items

    def _tell_unreached(self, item: Reached, way: Way, world: World) -> None:
        spot = self._spot(item.place)
        for part in way.missing:
            self.book.tell("no-removal", spot, ("parts", part), world.machines, world)
        if way.barred:
            self.book.tell("never-free", spot, ("parts", item.parts[0]), world.machines, world)

    def _without_plan(self, item: Reached, world: World, later: frozenset[str]) -> list[World]:
        """As though the parts could be got at where they are."""
        before = self._reached
        self._reached = before | frozenset(item.parts)
        done = self.run(item.items, [world], later)
        self._reached = before
        return done

    # ------------------------------------------------------------------------------------- repeats

    def _loop(self, item: Loop, worlds: list[World], later: frozenset[str]) -> list[World]:
        spot = self._spot(item.place)
        subject = (self._plural(next(iter(item.until), "")), next(iter(item.until), ""))
        entered = union(world.machines for world in worlds)
        exits, failed = self._rounds(item, worlds, later | self.relevance.of(item), spot)
        never = entered if not self._answers(item) else entered & ~union(world.machines for world in exits)
        for world in worlds:
            self.book.tell("never-ends", spot, subject, never & world.machines, world)
        for world in failed if not item.otherwise else ():
            self.book.tell("no-way-out", spot, subject, world.machines, world)
        return [*exits, *self.run(item.otherwise, merged(failed), later)]

    def _rounds(
        self, item: Loop, worlds: list[World], later: frozenset[str], spot: Spot
    ) -> tuple[list[World], list[World]]:
        """Rounds until one brings no new state: the worlds that leave, and those that may give up."""
        seen: dict[frozenset[tuple[str, str]], list[World]] = {}
        exits: list[World] = []
        failed: list[World] = []
        fresh = self._unseen([self._rested(world, item) for world in worlds], seen)
        self._loops.append(item)
        while fresh:
            ended: list[World] = []
            for world in self.run(item.items, fresh, later):
                for part, holds in self.decider.decide(world, item.condition, spot):
                    _divide(part, holds, exits, ended)
            for world in ended:
                idle = world.machines & ~world.has("acted", _key(item))
                self.book.tell("repeat-changes-nothing", spot, NOTHING, idle, world)
            ended = [self._rested(world, item) for world in ended]
            failed += ended
            fresh = self._unseen(ended, seen)
        self._loops.pop()
        return merged(self._rested(world, item) for world in exits), merged(failed)

    def _unseen(self, worlds: Iterable[World], seen: dict[frozenset[tuple[str, str]], list[World]]) -> list[World]:
        """What of the worlds was not seen at the start of a round; from now on it was."""
        found = []
        for world in worlds:
            new = add(seen.setdefault(frozenset(world.answers.items()), []), world)
            if new:
                found.append(world.within(new))
        return merged(found)

    def _rested(self, world: World, item: Loop) -> World:
        facts = dict(world.facts)
        return world.with_facts(facts) if facts.pop(("acted", _key(item)), 0) else world

    def _answers(self, item: Loop) -> bool:
        """Whether some step of the repeat answers a question that ends it."""
        ends = item.until.keys()
        return any(
            ends & {*act.step.finds, *act.step.measures, *act.step.asks, *act.step.becomes}
            for act in acts_of(item.items)
        ) or any(question in self.ground.space.index.features for question in ends)

    # --------------------------------------------------------------------------------------- steps

    def _act(self, act: Act, world: World) -> list[World]:
        done: list[World] = []
        spot = self._spot_of(act)
        for part, holds in self.decider.decide(world, act.condition, spot):
            here = holds & ~self._apart_already(act, part)
            rest = part.machines & ~here
            if rest:
                done.append(part.within(rest))
            if here:
                done += self._do(act, part.within(here), spot)
        return done

    def _apart_already(self, act: Act, world: World) -> int:
        """A step that comes of `ensure` is left out where all that it takes off is apart."""
        if not act.unless_apart or not act.step.removes:
            return 0
        found = world.machines
        for part in act.step.removes:
            found &= ~(self.ground.part(part, world) & ~world.has("off", part))
        return found

    def _do(self, act: Act, world: World, spot: Spot) -> list[World]:
        assert spot.act is not None
        found: list[World] = []
        for part in self._split_by_movers(act, world):
            self.book.begin(spot.act, act, part)
            hand = Hand(self.ground, self.book, part, spot, act.step, self._kit)
            hand.reached = self._reached
            doing.do(hand, self.setup.limit)
            self._acted(act, hand)
            worlds = doing.outcome(hand)
            self.book.finish(spot.act, worlds)
            found += self._stopped(act, worlds, spot) if act.step.stops else worlds
        return found

    def _split_by_movers(self, act: Act, world: World) -> list[World]:
        """Whoever turns the works reads whether they turn."""
        worlds = [world]
        for mover in self.relevance.movers(act):
            if mover not in act.step.finds:
                worlds = [part for each in worlds for part in self._read(each, mover)]
        return worlds

    def _read(self, world: World, question: str) -> list[World]:
        asked = world.has("asked", question)
        if not asked:
            return [world]
        facts = dict(world.facts)
        facts["read", question] = facts.get(("read", question), 0) | asked
        world = world.with_facts(facts)
        return [world] if question in world.answers else self.decider.answers(world, question, asked)

    def _acted(self, act: Act, hand: Hand) -> None:
        """Note for each repeat around the step that something was done, besides looking."""
        answers = {*act.step.finds, *act.step.measures, *act.step.asks}
        for loop in self._loops:
            if not answers & loop.until.keys():
                fact = ("acted", _key(loop))
                hand.facts[fact] = hand.facts.get(fact, 0) | hand.machines

    def _stopped(self, act: Act, worlds: list[World], spot: Spot) -> list[World]:
        """The job ends here for these machines."""
        outcomes = self.setup.outcomes
        if outcomes is None:
            return []
        outcome = outcomes.get(act.step.stops)
        for world in worlds:
            if outcome is None:
                self.book.tell("unknown-outcome", spot, NOTHING, world.machines, world)
            self.book.ends[act.step.stops] = self.book.ends.get(act.step.stops, 0) | world.machines
            excused = outcome.may_be if outcome else ()
            ending.end(self.ground, self.book, world, spot, excused, handed_over=False)
        return []

    def _spot(self, place: Place) -> Spot:
        return Spot(self._position, self._procedure, place)

    def _spot_of(self, act: Act) -> Spot:
        """Where a step stands in the run; the very same each time, since worlds and rounds come by again and again."""
        key = (self._position, id(act))
        if key not in self._spots:
            ref = ActRef(self._position, self._procedure, act.id, act.anchor, act.place, act.mirrored)
            self._spots[key] = (act, Spot(self._position, self._procedure, act.place, ref))
        return self._spots[key][1]


def _divide(world: World, holds: int, inside: list[World], outside: list[World]) -> None:
    here, rest = holds & world.machines, world.machines & ~holds
    if here:
        inside.append(world.within(here))
    if rest:
        outside.append(world.within(rest))


def _brings(item: Item) -> bool:
    """Whether a step may bring a fact that nothing else later reads, so that it is dropped at once.

    Whatever else a step or those inside an item may bring is among what the item depends on.
    """
    if not isinstance(item, Act):
        return False
    step = item.step
    return bool(step.cleans or step.tests_on or step.renews or step.marks or step.wait)


def _key(loop: Loop) -> str:
    return str(id(loop))
