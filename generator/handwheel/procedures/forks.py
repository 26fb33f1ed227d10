"""What code that judges makes of a machine that is not known yet: a tree of tests on masks, with every outcome.

The code runs as it stands, over a set of machines that answers a test only when it can. Where it
cannot, the run is done twice, once for each answer. So nothing that judges is written a second time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from handwheel.machines.conditions import Condition

T = TypeVar("T")

Test = int | tuple[int, int]
"""A mask: does a machine still possible stand in it? Two numbers of looks: are they the same looks?"""


class Undecided(Exception):  # noqa: N818 - no error: it ends a run that has to be done twice
    """A test that what is known so far does not answer."""

    def __init__(self, test: Test) -> None:
        super().__init__()
        self.test = test


@dataclass
class Teller:
    """Answers tests of one run: by what was assumed, or by what follows from it."""

    taken: dict[Test, bool] = field(default_factory=dict)
    empty: int = 0
    """Machines that are known to be out."""
    inhabited: tuple[int, ...] = ()
    """Masks in each of which a machine is still possible."""

    def some(self, mask: int) -> bool:
        """Whether a machine that is still possible stands in the mask."""
        if not mask & ~self.empty:
            return False
        if any(not each & ~self.empty & ~mask for each in self.inhabited):
            return True
        return self.told(mask)

    def told(self, test: Test) -> bool:
        """What was assumed of a test."""
        if test not in self.taken:
            raise Undecided(test)
        return self.taken[test]

    def assuming(self, test: Test, answer: bool) -> Teller:
        """Knows one answer more."""
        taken = {**self.taken, test: answer}
        if not isinstance(test, int):
            return Teller(taken, self.empty, self.inhabited)
        if answer:
            return Teller(taken, self.empty, (*self.inhabited, test))
        return Teller(taken, self.empty | test, self.inhabited)


class Among:
    """Those of a mask's machines that turn out to be possible; stands where code expects the mask itself."""

    __slots__ = ("mask", "teller")

    def __init__(self, mask: int, teller: Callable[[], Teller]) -> None:
        self.mask = mask
        self.teller = teller

    def __and__(self, other: int | Among) -> Among:
        return Among(self.mask & _mask(other), self.teller)

    def __or__(self, other: int | Among) -> Among:
        return Among(self.mask | _mask(other), self.teller)

    __rand__, __ror__ = __and__, __or__

    def __invert__(self) -> int:
        """For use in an `and` with machines of the same kind only."""
        return ~self.mask

    def __bool__(self) -> bool:
        return self.teller().some(self.mask)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, int | Among) and not self.teller().some(self.mask ^ _mask(other))

    __hash__ = None  # type: ignore[assignment]


def _mask(of: int | Among) -> int:
    return of if isinstance(of, int) else of.mask


@dataclass(frozen=True)
class Leaf(Generic[T]):
    """An outcome."""

    value: T


@dataclass(frozen=True)
class Branch(Generic[T]):
    """A test, with what follows if so and if not."""

    test: Test
    yes: Tree[T]
    no: Tree[T]


Tree = Leaf[T] | Branch[T]


def values_of(tree: Tree[T]) -> Iterator[T]:
    """Every outcome, with repeats."""
    if isinstance(tree, Leaf):
        yield tree.value
        return
    yield from values_of(tree.yes)
    yield from values_of(tree.no)


@dataclass(frozen=True)
class Told:
    """Machines for which something holds, and looks that tell them from the others."""

    holds: int
    looks: tuple[str, ...]


@dataclass(frozen=True)
class Look:
    """A doubt: looks are to be found that settle what is asked on the machines still possible of a mask."""

    asked: Condition | Told
    mask: int


@dataclass
class Forks:
    """Runs code to all of its outcomes; numbers the looks that it would have to find."""

    teller: Teller = field(default_factory=Teller)
    looks: dict[Look, int] = field(default_factory=dict)

    def among(self, mask: int) -> Among:
        """The machines of a mask, as far as they turn out to be possible."""
        return Among(mask, lambda: self.teller)

    def number(self, asked: Condition | Told, mask: int) -> int:
        """The number of a doubt."""
        return self.looks.setdefault(Look(asked, mask), len(self.looks))

    def outcomes(self, mask: int, run: Callable[[], T]) -> Tree[T]:
        """All outcomes of a run, given that some machine of the mask is possible. The outcomes must have an `==`."""
        return self._outcomes(Teller(inhabited=(mask,)), run)

    def _outcomes(self, teller: Teller, run: Callable[[], T]) -> Tree[T]:
        outer, self.teller = self.teller, teller
        try:
            return Leaf(run())
        except Undecided as doubt:
            test = doubt.test
        finally:
            self.teller = outer
        yes, no = (self._outcomes(teller.assuming(test, answer), run) for answer in (True, False))
        return yes if yes == no else Branch(test, yes, no)


class Unsaid(str):
    """Stands for looks that the browser finds: `number` is that of the doubt."""

    number: int
    forks: Forks

    def __new__(cls, forks: Forks, number: int) -> Unsaid:
        """Reads as nothing that is an id."""
        made = super().__new__(cls, f"?{number}")
        made.number, made.forks = number, forks
        return made

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Unsaid):
            return False
        low, high = sorted((self.number, other.number))
        return low == high or self.forks.teller.told((low, high))

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return 0


__all__ = ["Among", "Branch", "Forks", "Leaf", "Look", "Teller", "Test", "Told", "Tree", "Unsaid", "values_of"]
