"""Lists of steps as written -> nodes: steps and the constructs that hold steps."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from handwheel.reading.context import Context
from handwheel.reading.scalars import BAD, wrong
from handwheel.reading.tree import Mapping, Node, Scalar, Sequence
from handwheel.reading.typed import question_of_by, read_keys, states_of_key
from handwheel.records import step_records as r


def read_nodes(node: Node, context: Context) -> Any:
    """A list of steps; the word `nothing` says that there are none."""
    if isinstance(node, Scalar) and node.text == "nothing":
        return ()
    items = node.items if isinstance(node, Sequence) else (node,)
    if not items or (isinstance(node, Scalar) and node.is_null):
        return wrong(node, context, "no steps stand here", "a list of steps, or the word nothing")
    made = [_read_node(item, context) for item in items]
    return BAD if any(each is BAD for each in made) else tuple(made)


def _read_node(node: Node, context: Context) -> Any:
    if not isinstance(node, Mapping):
        return wrong(node, context, "this is no step", "- {do: Lift the winder off.}")
    keys = {key.text for key, _ in node.entries}
    for word, reader in _CONSTRUCTS.items():
        if word in keys and "do" not in keys:
            return reader(node, context)
    if "when" in keys and "steps" in keys:
        return _record(r.Under, node, context, "group under 'when'")
    return _record(r.Step, node, context, "step")


def _record(cls: type[Any], node: Mapping, context: Context, what: str) -> Any:
    made = read_keys(cls, node, context, what=what)
    return BAD if made is None else cls(place=node.place, at=made[1], **made[0])


def _by(node: Mapping, context: Context) -> Any:
    question = question_of_by(node, context)
    if question is None:
        return BAD
    branches: list[r.Branch] = []
    spoilt = False
    for key, value in node.entries:
        if key.text == "by":
            continue
        states = states_of_key(question, key, context)
        steps = read_nodes(value, context)
        if states is None or steps is BAD:
            spoilt = True
        else:
            branches.append(r.Branch(states, steps, key.place))
    spoilt |= _say_twice(question, branches, context)
    if not spoilt:
        named = frozenset(state for branch in branches for state in branch.states)
        context.branches.append((question, named, node.place))
    return BAD if spoilt else r.By(question, tuple(branches), node.place)


def _say_twice(question: str, branches: list[r.Branch], context: Context) -> bool:
    seen: dict[str, r.Branch] = {}
    twice = False
    for branch in branches:
        for state in branch.states:
            if state in seen:
                context.say(
                    "case-twice",
                    branch.place,
                    f"'{state}' of '{question}' has two cases",
                    "one case a state",
                    related=[(seen[state].place, "the other one")],
                )
                twice = True
            seen[state] = branch
    return twice


def _one_of(node: Mapping, context: Context) -> Any:
    value = node.get("one_of")
    if not isinstance(value, Sequence) or len(node.entries) > 1:
        return wrong(node, context, "this is no list of alternatives", "one_of: [{when: .., steps: ..}, ..]")
    made = [
        _record(r.Under, item, context, "alternative")
        if isinstance(item, Mapping)
        else wrong(item, context, "this is no alternative", "{when: .., steps: ..}")
        for item in value.items
    ]
    return BAD if any(each is BAD for each in made) else r.OneOf(tuple(made), node.place)


def _repeat(node: Mapping, context: Context) -> Any:
    inner = node.get("repeat")
    if not isinstance(inner, Mapping):
        return wrong(node, context, "this is no repeat", "repeat: {until: {pull: right}, at_most: 6, steps: [..]}")
    entries = list(inner.entries)
    for key, value in node.entries:
        if key.text == "otherwise":
            entries.append((key, value))
        elif key.text != "repeat":
            context.say("unknown-key", key.place, f"'{key.text}' does not stand beside a repeat", "only otherwise")
            return BAD
    return _record(r.Repeat, Mapping(tuple(entries), node.place), context, "repeat")


def _reader(cls: type[Any], what: str) -> Callable[[Mapping, Context], Any]:
    return lambda node, context: _record(cls, node, context, what)


_CONSTRUCTS: dict[str, Callable[[Mapping, Context], Any]] = {
    "by": _by,
    "one_of": _one_of,
    "use": _reader(r.Use, "use"),
    "ensure": _reader(r.Ensure, "ensure"),
    "mirror": _reader(r.Mirror, "mirror"),
    "repeat": _repeat,
    "reach": _reader(r.Reach, "reach"),
}
