"""Procedures without references: shared runs, mirrors and words written out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.procedures.ids import base_anchor, equal_ids, full_id, step_id, with_anchors
from handwheel.procedures.mirror import Pick, mirrored
from handwheel.procedures.program import (
    Act,
    Arm,
    Fork,
    Guarded,
    Item,
    Items,
    Link,
    Loop,
    Program,
    Reached,
    inside,
    state_holds,
    with_inside,
)
from handwheel.procedures.words import Words, fill, given, spread, unknown_words
from handwheel.reading.messages import Message
from handwheel.records.library import Library
from handwheel.records.step_records import By, Ensure, Mirror, Node, OneOf, Reach, Repeat, Step, Under, Use
from handwheel.records.values import When
from handwheel.records.work_records import Job, Procedure


@lru_cache(maxsize=4096)
def expand(library: Library, procedure: str) -> Program:
    """The procedure, written out, with all that is wrong with its references."""
    return _program(library, procedure)


def expand_job(library: Library, job: str) -> tuple[Program, ...]:
    """The job's procedures in order, each written out."""
    record: Job = library.jobs[job]
    return tuple(expand(library, procedure) for procedure in record.procedures)


@dataclass(frozen=True)
class _Frame:
    """Where a node stands: in which procedure, with which words, reached through what."""

    procedure: Procedure
    words: Words = field(default_factory=dict)
    chain: tuple[Link, ...] = ()
    ensured: bool = False
    open: tuple[str, ...] = ()
    """Procedures being written out, outermost first."""

    def inner(self, procedure: Procedure, link: Link, words: Words, ensured: bool = False) -> _Frame:
        """The frame of a procedure that is referred to from here."""
        return _Frame(procedure, words, (*self.chain, link), self.ensured or ensured, (*self.open, procedure.id))


def _program(library: Library, procedure: str) -> Program:
    record = library.procedures[procedure]
    writer = _Writer(library)
    items = writer.nodes(record.steps, _Frame(record, open=(procedure,)))
    items, about_anchors = with_anchors(know_later(items, frozenset())[0])
    items = _named_apart(items, Counter())
    messages = (*writer.messages, *equal_ids(record), *about_anchors)
    return Program(procedure, _condition(record), items, tuple(dict.fromkeys(messages)))


class _Writer:
    """Writes nodes out; collects messages while it does."""

    def __init__(self, library: Library) -> None:
        self.library = library
        self.messages: list[Message] = []

    def nodes(self, nodes: tuple[Node, ...], frame: _Frame) -> Items:
        return tuple(item for node in nodes for item in self._node(node, frame))

    def _node(self, node: Node, frame: _Frame) -> Items:
        match node:
            case Step():
                return (self._step(node, frame),)
            case Under():
                return (Guarded(node.when, self.nodes(node.steps, frame)),)
            case By():
                return (self._by(node, frame),)
            case OneOf():
                arms = (Arm(each.when, (), self.nodes(each.steps, frame)) for each in node.alternatives)
                return (Fork("", tuple(arms), node.place),)
            case Use():
                return self._use(node, frame)
            case Ensure():
                return self._ensure(node, frame)
            case Mirror():
                return self._mirror(node, frame)
            case Repeat():
                return (self._repeat(node, frame),)
            case Reach():
                parts = tuple(spread(node.reach, frame.words))
                return (Reached(parts, self.nodes(node.steps, frame), node.place),)

    def _step(self, step: Step, frame: _Frame) -> Act:
        self.messages.extend(unknown_words(step, frame.procedure))
        return Act(
            id=full_id(frame.procedure.id, step),
            anchor=base_anchor(frame.chain, step_id(step), False),
            step=fill(step, frame.words),
            authored=step,
            chain=frame.chain,
            unless_apart=frame.ensured,
            words=frame.words,
        )

    def _by(self, node: By, frame: _Frame) -> Fork:
        arms = (
            Arm(
                When(state_holds(node.question, branch.states), branch.place),
                branch.states,
                self.nodes(branch.steps, frame),
            )
            for branch in node.branches
        )
        return Fork(node.question, tuple(arms), node.place)

    def _repeat(self, node: Repeat, frame: _Frame) -> Loop:
        body, otherwise = self.nodes(node.steps, frame), self.nodes(node.otherwise, frame)
        return Loop(node.until, node.at_most, body, otherwise, node.place)

    def _use(self, node: Use, frame: _Frame) -> Items:
        run = self._enter(node.use, node, frame)
        if run is None:
            return ()
        words, messages = given(node, run, frame.words)
        self.messages.extend(messages)
        items = self.nodes(run.steps, frame.inner(run, Link("use", run.id, node.place, node.id), words))
        return _guarded(node.when, _held(run, items))

    def _ensure(self, node: Ensure, frame: _Frame) -> Items:
        run = self._enter(node.ensure, node, frame)
        if run is None:
            return ()
        inner = frame.inner(run, Link("ensure", run.id, node.place), {}, ensured=True)
        return _held(run, self.nodes(run.steps, inner))

    def _mirror(self, node: Mirror, frame: _Frame) -> Items:
        run = self._enter(node.mirror, node, frame)
        if run is None:
            return ()
        forward = self.nodes(run.steps, frame.inner(run, Link("mirror", run.id, node.place), {}))
        pick = Pick(node, {step: self.nodes(nodes, frame) for step, nodes in node.after.items()})
        self.messages.extend((*pick.unknown(forward), *pick.speechless(forward)))
        return _held(run, mirrored(forward, pick))

    def _enter(self, procedure: str, node: Use | Ensure | Mirror, frame: _Frame) -> Procedure | None:
        """The procedure referred to; None, with a message, where it is being written out already."""
        if procedure not in frame.open:
            return self.library.procedures[procedure]
        chain = " -> ".join((*frame.open[frame.open.index(procedure) :], procedure))
        self.messages.append(Message("cycle", node.place, f"procedures in a circle: {chain}", "leave one of them out"))
        return None


def _condition(procedure: Procedure) -> Condition:
    return procedure.when.condition if procedure.when else ALWAYS


def _held(procedure: Procedure, items: Items) -> Items:
    """The items under the condition of the procedure that they come from."""
    return _guarded(procedure.when, items)


def _guarded(when: When | None, items: Items) -> Items:
    return (Guarded(when, items),) if when and items else items


def _named_apart(items: Items, seen: Counter[str]) -> Items:
    """The items with an anchor for each place where parts are reached, equal ones told apart by number."""
    found: list[Item] = []
    for item in items:
        made = with_inside(item, tuple(_named_apart(held, seen) for held in inside(item)))
        if isinstance(made, Reached):
            name = "-".join(("reach", *made.parts))
            seen[name] += 1
            made = replace(made, anchor=name if seen[name] == 1 else f"{name}-{seen[name]}")
        found.append(made)
    return tuple(found)


def know_later(items: Items, later: frozenset[str]) -> tuple[Items, frozenset[str]]:
    """The items, each mirrored step told which parts go on after it; `later` go on after all of them."""
    found: list[Item] = []
    for item in reversed(items):
        if isinstance(item, Act):
            found.append(replace(item, fits_later=later) if item.mirrored else item)
            later |= frozenset(item.step.fits)
            continue
        lists, after = zip(*_each_list(item, later), strict=True)
        found.append(with_inside(item, lists))
        later = later.union(*after)
    return tuple(reversed(found)), later


def _each_list(item: Item, later: frozenset[str]) -> Iterator[tuple[Items, frozenset[str]]]:
    """Lists that an item holds; of alternatives only one is done, so that they do not know of one another."""
    for held in inside(item):
        yield know_later(held, later)
