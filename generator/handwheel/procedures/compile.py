"""A procedure made ready for any machine of a family: what a script needs to show it for the machine as found.

The writer judges here, over a machine that is not known yet (see `forks`); what is left is a tree
of tests on masks with finished fragments at its ends. The script tests, picks and joins.

Items are lists: `["s", tree]` a step, `["g", ...]` items under a condition, `["f", ...]` alternatives,
`["r", title, body, otherwise, at_most]` a repeat, `["c", ...]` what must be reached, `["e", n]` the end of a
repeat's body. A tree is `{t: test, y: .., n: ..}` or an outcome. A verdict is 0 out, 1 settled, 2 asked at a
step, 3 and more: a number of looks, less 3.
"""

from __future__ import annotations

import base64
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Protocol, TypeVar

from handwheel.machines.conditions import Condition
from handwheel.machines.space import Space
from handwheel.machines.truth import Depends, Truth, looks_that_tell, looks_to_choose
from handwheel.procedures.forks import Forks, Leaf, Look, Told, Tree, Unsaid
from handwheel.procedures.judge import Ground, Judge, Verdict
from handwheel.procedures.laid_open import laid_open
from handwheel.procedures.program import Act, Fork, Guarded, Item, Items, Loop, Reached
from handwheel.procedures.resolve import Resolver
from handwheel.procedures.resolved import ResolvedStep
from handwheel.procedures.verdicts import SETTLED
from handwheel.procedures.wording import condition_words
from handwheel.procedures.writer import Field, Writer

T = TypeVar("T")
Json = Any
"""Lists, texts and numbers."""

OUT_, SETTLED_, ASKED_, LOOK_ = 0, 1, 2, 3


class Painter(Protocol):
    """Makes the fragments."""

    def step(self, step: ResolvedStep) -> Json:
        """A step."""

    def arm(self, question: str, states: tuple[str, ...], words: str) -> Json:
        """What stands over one alternative."""

    def fork(self, question: str) -> Json:
        """What stands over alternatives of which a step tells."""

    def repeat(self, until: str, at_most: int) -> Json:
        """What stands over a repeat."""

    def reach(self, parts: tuple[str, ...]) -> Json:
        """What stands over items that must be reached."""


@dataclass(frozen=True)
class Doubting(Judge):
    """A judge over a machine that is not known yet: looks that would settle a doubt are numbered, not found."""

    forks: Forks = field(default_factory=Forks)

    def _truth(self, condition: Condition, here: Any) -> Truth:
        if here == self.within:
            return SETTLED
        within: Any = self.within
        return Depends((Unsaid(self.forks, self.forks.number(condition, within.mask)),))


@dataclass
class Table:
    """Values by their number, each once."""

    numbers: dict[str, int] = field(default_factory=dict)
    values: list[Any] = field(default_factory=list)

    def number(self, value: Any) -> int:
        """The number of a value."""
        found = self.numbers.setdefault(repr(value), len(self.values))
        if found == len(self.values):
            self.values.append(value)
        return found


class Compiler:
    """One family: what its compiled procedures share.

    Args:
        resolver: Of the family; tells why each step is here.
        space: The whole family.
    """

    def __init__(self, resolver: Resolver, space: Space) -> None:
        self.resolver, self.space = resolver, space
        self.ground = Ground(resolver.library, space)
        self.forks = Forks()
        self.masks = Table()

    def procedure(self, procedure: str, painter: Painter) -> dict[str, Json]:
        """The procedure for a script: `when` it holds, its items, steps."""
        return _Procedure(self, procedure, painter).compiled()

    def holds(self, condition: Condition) -> Json:
        """The tree of a condition that looking settles."""
        judge = Doubting(self.ground, self._all(), {}, (), self.forks)
        return self.tree(self.forks.outcomes(self.space.all, lambda: outcome(judge.verdict(condition))), lambda v: v)

    def start(self, procedure: str) -> Doubting:
        """The judge before a procedure."""
        return Doubting(self.ground, self._all(), self.resolver.opened_before(procedure), (), self.forks)

    def tree(self, tree: Tree[T], say: Callable[[T], Json]) -> Json:
        """A tree with masks by their numbers."""
        if isinstance(tree, Leaf):
            return say(tree.value)
        test = tree.test if isinstance(tree.test, tuple) else self.masks.number(tree.test)
        return {"t": test, "y": self.tree(tree.yes, say), "n": self.tree(tree.no, say)}

    def looks(self) -> list[Json]:
        """For each doubt: where it stands, where the condition holds, and the looks to choose from."""
        return [self._look(each) for each in self.forks.looks]

    def texts(self) -> list[str]:
        """Every mask as base64, a bit a machine that can stand here, the lowest first."""
        return [as_text(self.space, each) for each in self.masks.values]

    def _all(self) -> Any:
        return self.forks.among(self.space.all)

    def _look(self, look: Look) -> Json:
        if isinstance(look.asked, Told):
            holds, looks = look.asked.holds, looks_that_tell(self.space, look.asked.looks)
        else:
            holds, looks = self.space.mask(look.asked), looks_to_choose(self.space, look.asked)
        return [self.masks.number(look.mask), self.masks.number(holds), looks]


def as_text(space: Space, mask: int) -> str:
    """A mask as base64: a bit for each machine that can stand here, the lowest first."""
    count = space.all.bit_count()
    if count < space.all.bit_length():
        picked = (
            b for b, here in zip(_bits(mask, space.size), _bits(space.all, space.size), strict=True) if here == "1"
        )
        mask = int("".join(picked)[::-1] or "0", 2)
    return base64.b64encode(mask.to_bytes((count + 7) // 8, "little")).decode("ascii")


def _bits(mask: int, size: int) -> str:
    return format(mask, f"0{size}b")[::-1]


def outcome(verdict: Verdict) -> int:
    """A verdict in one number."""
    if verdict.out:
        return OUT_
    if isinstance(verdict.truth, Depends):
        look = verdict.truth.looks[0]
        assert isinstance(look, Unsaid)
        return LOOK_ + look.number
    return SETTLED_ if verdict.settled else ASKED_


@dataclass
class _Procedure:
    family: Compiler
    procedure: str
    painter: Painter
    steps: Table = field(default_factory=Table)
    ends: list[Doubting] | None = None

    def __post_init__(self) -> None:
        self.library = self.family.resolver.library
        reasons = self.family.resolver.reasons(self.procedure)
        self.writer = Writer(self.procedure, Field(self.family.ground), reasons, {})

    def compiled(self) -> dict[str, Json]:
        program = laid_open(self.library, self.procedure)
        when, items, settled = self._under(program.condition, program.items, self.family.start(self.procedure))
        return {"when": when, "items": items, "settled": settled, "steps": self.steps.values}

    # items

    def _items(self, items: Items, judge: Doubting) -> list[Json]:
        found: list[Json] = []
        for place, item in enumerate(items):
            if isinstance(item, Act):
                tree, after = self._act(item, judge)
                if len(after) > 1:
                    rest = items[place + 1 :]
                    tails = [self._items(rest, each) for each in after]
                    return [*found, ["s", tree, tails]]
                found.append(["s", tree])
                judge = after[0]
                continue
            found += self._inner(item, judge)
            judge = self._reopened(judge, item)
        return [*found, *self._end(judge)]

    def _end(self, judge: Doubting) -> list[Json]:
        if self.ends is None:
            return []
        self.ends.append(judge)
        return [["e", len(self.ends) - 1]]

    def _act(self, act: Act, judge: Doubting) -> tuple[Json, list[Doubting]]:
        """The tree of a step, and the judges after it: one, or one for each kind of verdict."""

        def run() -> tuple[int, Json]:
            verdict = judge.verdict(act.condition)
            if verdict.out:
                return OUT_, None
            return SETTLED_ if verdict.settled else ASKED_, self.painter.step(self.writer.made(act, judge, verdict))

        tree = self._outcomes(judge, run)
        kinds = [judge, self._after(judge, act, True), self._after(judge, act, False)]
        if len({(_key(each)) for each in kinds}) == 1 or isinstance(tree, Leaf):
            after = kinds[tree.value[0] if isinstance(tree, Leaf) else OUT_]
            return self._tree(tree, lambda value: self._step(value[1])), [after]
        return self._tree(tree, lambda value: [self._step(value[1]), value[0]]), kinds

    def _step(self, painted: Json) -> int:
        return -1 if painted is None else self.steps.number(painted)

    def _inner(self, item: Item, judge: Doubting) -> list[Json]:
        outer, self.ends = self.ends, None
        try:
            return [self._made(item, judge)]
        finally:
            self.ends = outer

    def _made(self, item: Item, judge: Doubting) -> Json:
        match item:
            case Guarded(when=when, items=held):
                return ["g", self._arm("", (), when.condition, held, judge)]
            case Fork(question=question, arms=arms):
                made = [self._arm(question, arm.states, arm.when.condition, arm.items, judge) for arm in arms]
                return ["f", self.painter.fork(question), made]
            case Loop():
                return self._loop(item, judge)
            case Reached(parts=parts, items=held):
                return ["c", self.painter.reach(parts), self._items(held, judge)]
        raise AssertionError(item)

    def _arm(
        self, question: str, states: tuple[str, ...], condition: Condition, held: Items, judge: Doubting
    ) -> list[Json]:
        label = self.painter.arm(question, states, condition_words(self.library, condition))
        return [label, *self._under(condition, held, judge)]

    def _under(self, condition: Condition, held: Items, judge: Doubting) -> tuple[Json, Json, Json]:
        """The verdict, the items where it is open, and where it is settled if that is not the same."""
        made = self._tree(self._outcomes(judge, lambda: outcome(judge.verdict(condition))), lambda value: value)
        if made == OUT_:
            return made, [], 0
        if made == SETTLED_:
            return made, self._items(held, judge), 0
        narrowed = self._items(held, self._narrowed(judge, condition))
        looked = not judge.reads_answers(condition)
        return made, narrowed, 0 if looked or SETTLED_ not in _leaves(made) else self._items(held, judge)

    def _loop(self, loop: Loop, judge: Doubting) -> Json:
        judge = self._reopened(judge, loop)
        ends: list[Doubting] = []
        self.ends = ends
        body = self._items(loop.items, judge)
        self.ends = None
        otherwise = [self._items(loop.otherwise, each) for each in ends]
        until = condition_words(self.library, loop.condition)
        return ["r", self.painter.repeat(until, loop.at_most), body, otherwise, loop.at_most]

    # judges

    def _narrowed(self, judge: Doubting, condition: Condition) -> Doubting:
        made = judge.narrowed(condition)
        assert isinstance(made, Doubting)
        return made

    def _after(self, judge: Doubting, act: Act, surely: bool) -> Doubting:
        made = self.writer.after(judge, act, surely)
        assert isinstance(made, Doubting)
        return made

    def _reopened(self, judge: Doubting, item: Item) -> Doubting:
        made = self.writer.reopened(judge, item)
        assert isinstance(made, Doubting)
        return made

    # trees

    def _outcomes(self, judge: Doubting, run: Callable[[], T]) -> Tree[T]:
        within: Any = judge.within
        return self.family.forks.outcomes(within.mask, run)

    def _tree(self, tree: Tree[T], say: Callable[[T], Json]) -> Json:
        return self.family.tree(tree, say)


def _leaves(tree: Json) -> list[int]:
    return [*_leaves(tree["y"]), *_leaves(tree["n"])] if isinstance(tree, dict) else [tree]


def _key(judge: Doubting) -> tuple[Any, ...]:
    within: Any = judge.within
    return within.mask, tuple(sorted(judge.open.items())), judge.path
