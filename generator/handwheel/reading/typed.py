"""Nodes -> typed values, by the shape that each key declares. Leaves a message for each defect and goes on."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from handwheel.machines.conditions import ALWAYS, Is, OfVariant
from handwheel.reading.conditions import read_when, scalars_of
from handwheel.reading.context import Context
from handwheel.reading.nearest import nearest
from handwheel.reading.scalars import BAD, PLAIN, one_scalar, wrong
from handwheel.reading.tree import Mapping, Node, Scalar, Sequence, is_simple_word, looks_like_comma_cut
from handwheel.records import kinds as k
from handwheel.records import shapes as s
from handwheel.records import values as v
from handwheel.records.machine_records import QUESTIONS
from handwheel.records.places import Place


def read(shape: s.Shape, node: Node, context: Context) -> Any:
    """The typed value of a node, or BAD when a message was left instead."""
    plain = PLAIN.get(type(shape))
    if plain is not None:
        return plain(shape, node, context)
    return _NESTED[type(shape)](shape, node, context)


def read_keys(
    cls: type[Any], node: Mapping, context: Context, *, also: tuple[str, ...] = (), what: str = ""
) -> tuple[dict[str, Any], dict[str, Place]] | None:
    """Field values and places of a record's keys; None when a required one is absent or unusable."""
    known = k.keys_of(cls)
    fields: dict[str, Any] = {}
    places: dict[str, Place] = {}
    spoilt = False
    cut = looks_like_comma_cut(node)
    for key, value in node.entries:
        if key.text in also:
            continue
        if key.text not in known:
            _say_unknown_key(key, tuple(known) + also, key in cut, context, what or cls.__name__.lower())
            spoilt = True
            continue
        name, described = known[key.text]
        made = read(described.shape, value, context)
        places[name] = value.place
        if made is BAD:
            spoilt = True
        else:
            fields[name] = made
    for text, (name, described) in known.items():
        if described.required and name not in fields and name not in places:
            context.say("missing-key", node.place, f"'{text}:' is missing here", f"{text}: {described.example}")
            spoilt = True
    return None if spoilt else (fields, places)


def _say_unknown_key(key: Scalar, known: tuple[str, ...], cut: bool, context: Context, what: str) -> None:
    near = nearest(key.text, known)
    if cut or not is_simple_word(key.text):
        right = "did you mean a comma in the text? put the whole text in quotes"
    elif near:
        right = f"did you mean '{near}'?"
    else:
        right = "one of: " + ", ".join(known)
    context.say("unknown-key", key.place, f"'{key.text}' is no key of {_article(what)}", right)


def _article(what: str) -> str:
    return f"an {what}" if what[:1] in "aeiou" else f"a {what}"


def read_nested(shape: s.Part, node: Node, context: Context) -> Any:
    """A nested record; a plain value stands for its first key."""
    first = next(iter(k.keys_of(shape.cls)))
    if isinstance(node, Scalar) and not node.is_null:
        node = Mapping(((Scalar(first, node.place), node),), node.place)
    if not isinstance(node, Mapping):
        return wrong(node, context, "a map of keys is wanted here", f"{{{first}: ..}}")
    made = read_keys(shape.cls, node, context)
    return BAD if made is None else shape.cls(place=node.place, at=made[1], **made[0])


def _many(shape: s.Many, node: Node, context: Context) -> Any:
    if isinstance(node, Scalar) and node.is_null:
        return wrong(node, context, "nothing stands here", "a list, or no such key")
    items = node.items if isinstance(node, Sequence) else (node,)
    made = [read(shape.item, item, context) for item in items]
    if any(each is BAD for each in made):
        return BAD
    if isinstance(shape.item, (s.Ref, s.OneWordOf)):
        _say_twice(items, context)
    return tuple(made)


def _say_twice(items: tuple[Node, ...], context: Context) -> None:
    seen: set[str] = set()
    for item in items:
        if isinstance(item, Scalar):
            if item.text in seen:
                context.say("named-twice", item.place, f"'{item.text}' stands here twice", "each once")
            seen.add(item.text)


def _map(shape: s.Map, node: Node, context: Context) -> Any:
    if shape.keys is not None and isinstance(shape.item, s.Words):
        node = _list_as_map(node)
    if not isinstance(node, Mapping):
        return wrong(node, context, "a map is wanted here", "lines of 'key: value'")
    made: dict[str, Any] = {}
    spoilt = False
    for key, value in node.entries:
        if shape.keys is not None:
            spoilt |= not context.check_ref(shape.keys.kinds, key.text, key.place)
        elif not is_simple_word(key.text):
            context.say("bad-id", key.place, f"'{key.text}' cannot be an id", "small letters, digits and '-'")
            spoilt = True
        empty = isinstance(value, Scalar) and value.is_null and isinstance(shape.item, s.Words)
        each = "" if empty and shape.keys is not None else read(shape.item, value, context)
        spoilt |= each is BAD
        made[key.text] = each
    return BAD if spoilt else made


def _list_as_map(node: Node) -> Node:
    """`renews: [spring]` is short for `renews: {spring: }`: the same kind again."""
    if isinstance(node, Mapping):
        return node
    items = node.items if isinstance(node, Sequence) else (node,)
    if not all(isinstance(item, Scalar) and not item.is_null for item in items):
        return node
    return Mapping(
        tuple((item, Scalar("", item.place, "null")) for item in items if isinstance(item, Scalar)), node.place
    )


_VOCABULARIES = {
    "features": ("features",),
    "findings": ("findings",),
    "positions": ("positions",),
    "questions": QUESTIONS,
}


def _states(shape: s.States, node: Node, context: Context) -> Any:
    if not isinstance(node, Mapping) or not node.entries:
        return wrong(node, context, "a map from a question to its states is wanted here", "{lamp: [bracket, stalk]}")
    made: dict[str, tuple[str, ...]] = {}
    spoilt = False
    for key, value in node.entries:
        found = scalars_of(value, context, "a state, or a list of states")
        if found is None:
            spoilt = True
            continue
        if shape.of == "words":
            for each in found:
                spoilt |= each.text.startswith("$") and not context.check_word(each.text[1:], each.place)
        elif context.check_ref(_VOCABULARIES[shape.of], key.text, key.place):
            spoilt |= not all([context.check_state(key.text, each.text, each.place) for each in found])
        else:
            spoilt = True
        made[key.text] = tuple(each.text for each in found)
    return BAD if spoilt else made


def _cite(_: s.Cite, node: Node, context: Context) -> Any:
    if isinstance(node, Mapping):
        made = read_keys(_Citation, node, context, what="source's place")
        return BAD if made is None else v.Citation(made[0]["source"], made[0].get("locator", ""), node.place)
    scalar = one_scalar(node, context, "the id of a source, or {source: id, at: table 3}")
    if scalar is None or not context.check_ref(("sources",), scalar.text, scalar.place):
        return BAD
    return v.Citation(scalar.text, "", scalar.place)


def _when(_: s.When, node: Node, context: Context) -> Any:
    made = read_when(node, context)
    return BAD if made is None else made


def _varying(shape: s.Varying, node: Node, context: Context) -> Any:
    if isinstance(node, Mapping) and node.get("by") is not None:
        return _varying_by(shape, node, context)
    if _is_list_of_cases(node):
        return _varying_cases(shape, node, context)
    value = read(shape.item, node, context)
    return BAD if value is BAD else v.Varies((v.Case(ALWAYS, value, node.place),), node.place)


def _is_list_of_cases(node: Node) -> bool:
    if not isinstance(node, Sequence) or not node.items:
        return False
    return all(isinstance(item, Mapping) and item.get("is") is not None for item in node.items)


def _varying_cases(shape: s.Varying, node: Node, context: Context) -> Any:
    cases = []
    for item in node.items if isinstance(node, Sequence) else ():
        assert isinstance(item, Mapping)
        for key, _ in item.entries:
            if key.text not in ("when", "is"):
                _say_unknown_key(key, ("when", "is"), False, context, "case")
                return BAD
        when, value = item.get("when"), item.get("is")
        condition = read_when(when, context) if when is not None else v.When(ALWAYS, item.place)
        made = read(shape.item, value, context) if value is not None else BAD
        if condition is None or made is BAD:
            return BAD
        cases.append(v.Case(condition.condition, made, item.place))
    return v.Varies(tuple(cases), node.place)


def _varying_by(shape: s.Varying, node: Mapping, context: Context) -> Any:
    question = question_of_by(node, context)
    if question is None:
        return BAD
    cases = []
    named: list[str] = []
    for key, value in node.entries:
        if key.text == "by":
            continue
        states = states_of_key(question, key, context)
        made = read(shape.item, value, context)
        if states is None or made is BAD:
            return BAD
        named.extend(states)
        cases.append(v.Case(condition_of(question, states), made, value.place))
    context.branches.append((question, frozenset(named), node.place))
    return v.Varies(tuple(cases), node.place, question)


def question_of_by(node: Mapping, context: Context) -> str | None:
    """The question that a `by` names: a question, or `variant`."""
    name = node.get("by")
    assert name is not None
    scalar = one_scalar(name, context, "the id of a question, or variant")
    if scalar is None:
        return None
    if scalar.text == "variant" or any(scalar.text in context.id_sets.get(kind, ()) for kind in QUESTIONS):
        return scalar.text
    near = nearest(scalar.text, [each for kind in QUESTIONS for each in context.index.ids.get(kind, ())])
    right = f"did you mean '{near}'?" if near else "a feature, finding, choice or reading, or variant"
    context.say("unknown-question", scalar.place, f"'{scalar.text}' is no question", right)
    return None


def states_of_key(question: str, key: Scalar, context: Context) -> tuple[str, ...] | None:
    """States of a key such as `bent or square`; variants and groups where the question is `variant`."""
    names = tuple(key.text.split(" or "))
    if question != "variant":
        fine = [context.check_state(question, each, key.place, ("missing",)) for each in names]
        return names if all(fine) else None
    found: list[str] = []
    for each in names:
        if each in context.index.groups:
            found.extend(context.index.span(*context.index.groups[each]))
        elif context.check_ref(("variants",), each, key.place):
            found.append(each)
        else:
            return None
    return tuple(found)


def condition_of(question: str, states: tuple[str, ...]) -> Is | OfVariant:
    """The condition of one branch of a `by`."""
    return OfVariant(frozenset(states)) if question == "variant" else Is(question, frozenset(states))


def _nodes(_: s.Nodes, node: Node, context: Context) -> Any:
    from handwheel.reading.steps import read_nodes  # noqa: PLC0415 - steps hold values that hold steps

    return read_nodes(node, context)


@k.record()
class _Citation(k.Nested):
    """Keys of a source with a place in it."""

    source: str = k.key(s.Ref(("sources",)), "The source.", "iso-2380-1", required=True)
    locator: str = k.key(s.Words(), "Clause, table or page in it.", "table 2", yaml="at", default="")


_NESTED: dict[type[s.Shape], Callable[[Any, Node, Context], Any]] = {
    s.Part: read_nested,
    s.Many: _many,
    s.Map: _map,
    s.States: _states,
    s.Cite: _cite,
    s.When: _when,
    s.Varying: _varying,
    s.Nodes: _nodes,
}
