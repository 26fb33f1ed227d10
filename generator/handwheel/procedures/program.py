"""A procedure without references: what is left when shared runs, mirrors and words are written out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from handwheel.machines.conditions import ALWAYS, All, Condition, Is, OfVariant
from handwheel.machines.masks import VARIANT
from handwheel.reading.messages import Message
from handwheel.records.places import Place
from handwheel.records.step_records import Step
from handwheel.records.values import Text, Varies, When


@dataclass(frozen=True)
class Link:
    """One reference through which a step came here: what refers, to which procedure, from where."""

    kind: Literal["use", "ensure", "mirror"]
    procedure: str
    place: Place
    id: str = ""
    """The id of the `use`, where it has one."""


@dataclass(frozen=True)
class Act:
    """A step as it is done here: words filled in, mirrored where it is mirrored."""

    id: str
    """`procedure/step` where it is written; the same wherever it is used."""
    anchor: str
    """Its id on the page of this procedure: made of what leads to it, never of its position."""
    step: Step
    """Effects as done here. For the text take `do` below."""
    authored: Step
    """As written."""
    chain: tuple[Link, ...] = ()
    """References from this procedure down to the step."""
    mirrored: bool = False
    unless_apart: bool = False
    """Comes of `ensure`: left out when the parts that it takes off are all apart already."""
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Words of the shared run that it stands in."""
    fits_later: frozenset[str] = frozenset()
    """Parts that later steps of this procedure put on; they say which screws are tightened only then."""

    @property
    def do(self) -> Varies[Text] | None:
        """Its text; None for a mirrored step that has no words of its own: they follow from its facts."""
        return self.authored.back if self.mirrored else self.step.do

    @property
    def condition(self) -> Condition:
        """The step's own condition, without those around it."""
        return self.step.when.condition if self.step.when else ALWAYS

    @property
    def local(self) -> str:
        """Its id within the procedure where it is written."""
        return self.id.partition("/")[2]

    @property
    def place(self) -> Place:
        """Where it is written."""
        return self.authored.place


@dataclass(frozen=True)
class Guarded:
    """Items that hold only under a condition."""

    when: When
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Arm:
    """One alternative; `states` are those of the fork's question, empty where the condition is free."""

    when: When
    states: tuple[str, ...]
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Fork:
    """Alternatives of which exactly one holds; `question` is empty where their conditions are free."""

    question: str
    arms: tuple[Arm, ...]
    place: Place


@dataclass(frozen=True)
class Loop:
    """Items done at least once, and again until the condition holds; after the last try, `otherwise`."""

    until: Mapping[str, tuple[str, ...]]
    at_most: int
    items: tuple[Item, ...]
    otherwise: tuple[Item, ...]
    place: Place

    @property
    def condition(self) -> Condition:
        """The condition that ends it."""
        return states_hold(self.until)


@dataclass(frozen=True)
class Reached:
    """Items on parts that must be reached first and closed up afterwards, as far as this machine needs it."""

    parts: tuple[str, ...]
    items: tuple[Item, ...]
    place: Place
    anchor: str = ""
    """Its name within the procedure: of the parts, and a number where they are reached more than once."""

    def anchor_of(self, act: Act) -> str:
        """The anchor of a step of another procedure that is done here to reach the parts, or to put back."""
        return f"{self.anchor}--{act.id.partition('/')[0]}--{act.anchor}"


Item = Act | Guarded | Fork | Loop | Reached
Items = tuple[Item, ...]


@dataclass(frozen=True)
class Program:
    """One procedure, written out."""

    procedure: str
    condition: Condition
    """Machines that have the procedure."""
    items: Items
    messages: tuple[Message, ...] = ()
    """What is wrong with its references, words and ids."""

    @property
    def acts(self) -> tuple[Act, ...]:
        """Every step, whatever machine it is for."""
        return tuple(acts_of(self.items))


def inside(item: Item) -> tuple[Items, ...]:
    """The lists of items that an item holds."""
    match item:
        case Act():
            return ()
        case Guarded(items=items) | Reached(items=items):
            return (items,)
        case Fork(arms=arms):
            return tuple(arm.items for arm in arms)
        case Loop(items=items, otherwise=otherwise):
            return items, otherwise


def with_inside(item: Item, lists: tuple[Items, ...]) -> Item:
    """The item with other lists in it, in the order that `inside` gives them."""
    match item:
        case Act():
            return item
        case Guarded() | Reached():
            return replace(item, items=lists[0])
        case Fork(arms=arms):
            changed = (replace(arm, items=items) for arm, items in zip(arms, lists, strict=True))
            return replace(item, arms=tuple(changed))
        case Loop():
            return replace(item, items=lists[0], otherwise=lists[1])


def acts_of(items: Items) -> Iterator[Act]:
    """Every step in the items, in the order written."""
    for item in items:
        if isinstance(item, Act):
            yield item
        for held in inside(item):
            yield from acts_of(held)


def reached_in(items: Items) -> Iterator[Reached]:
    """Every place where parts are reached, in the order written."""
    for item in items:
        if isinstance(item, Reached):
            yield item
        for held in inside(item):
            yield from reached_in(held)


def change_acts(items: Items, change: Callable[[Act], Act]) -> Items:
    """The items with every step changed."""
    return tuple(
        change(item)
        if isinstance(item, Act)
        else with_inside(item, tuple(change_acts(held, change) for held in inside(item)))
        for item in items
    )


def state_holds(question: str, states: tuple[str, ...]) -> Condition:
    """The question's answer is one of the states."""
    return OfVariant(frozenset(states)) if question == VARIANT else Is(question, frozenset(states))


def states_hold(states: Mapping[str, tuple[str, ...]]) -> Condition:
    """Each question's answer is one of its states."""
    parts = tuple(state_holds(question, answers) for question, answers in states.items())
    return parts[0] if len(parts) == 1 else All(parts)
