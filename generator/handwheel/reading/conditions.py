"""Conditions as written -> conditions of floor 1.

A map means all of its lines, a list of maps any of them. Keys with a meaning of their own: `not`, `variant`,
`group`, `family`, `made`, `serial`; every other key is a question with one of its states, or a list of them.
"""

from __future__ import annotations

from collections.abc import Callable

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.reading.context import Context
from handwheel.reading.nearest import nearest
from handwheel.reading.tree import Mapping, Node, Scalar, Sequence
from handwheel.records.families import serials_within, years_within
from handwheel.records.machine_records import QUESTIONS
from handwheel.records.values import When

RESERVED = ("not", "variant", "group", "family", "made", "serial")


def read_when(node: Node, context: Context) -> When | None:
    """A condition with its place; None, and a message, when it cannot be read."""
    condition = read_condition(node, context)
    return None if condition is None else When(condition, node.place)


def read_condition(node: Node, context: Context) -> Condition | None:
    """A map (all hold) or a list of maps (any holds)."""
    match node:
        case Mapping(entries) if entries:
            parts = [_line(key, value, context) for key, value in entries]
            known = tuple(part for part in parts if part is not None)
            if len(known) < len(parts):
                return None
            return known[0] if len(known) == 1 else All(known)
        case Sequence(items) if items:
            choices = [read_condition(item, context) for item in items]
            found = tuple(part for part in choices if part is not None)
            return Any(found) if len(found) == len(choices) else None
    context.say(
        "not-a-condition", node.place, "this is no condition", "a map such as {lamp: bracket}, or a list of maps"
    )
    return None


def _line(key: Scalar, value: Node, context: Context) -> Condition | None:
    special = _SPECIAL.get(key.text)
    if special is not None:
        return special(value, context)
    if not _is_question(key, context):
        return None
    states = scalars_of(value, context, "a state, or a list of states")
    if states is None:
        return None
    fine = [context.check_state(key.text, each.text, each.place, ("missing",)) for each in states]
    return Is(key.text, frozenset(each.text for each in states)) if all(fine) else None


def _is_question(key: Scalar, context: Context) -> bool:
    if any(key.text in context.id_sets.get(kind, ()) for kind in QUESTIONS):
        return True
    names = [each for kind in QUESTIONS for each in context.index.ids.get(kind, ())]
    near = nearest(key.text, [*names, *RESERVED])
    right = (
        f"did you mean '{near}'?" if near else "a feature, finding, choice or reading, or one of " + ", ".join(RESERVED)
    )
    context.say("unknown-question", key.place, f"'{key.text}' is no question", right)
    return False


def scalars_of(node: Node, context: Context, wanted: str) -> tuple[Scalar, ...] | None:
    """One scalar or a list of them; None, and a message, for anything else."""
    items = node.items if isinstance(node, Sequence) else (node,)
    good = tuple(item for item in items if isinstance(item, Scalar) and not item.is_null)
    if len(good) == len(items) and good:
        return good
    bad = next((item for item in items if not isinstance(item, Scalar) or item.is_null), node)
    context.say("wrong-type", bad.place, "this is not what belongs here", wanted)
    return None


def _not(node: Node, context: Context) -> Condition | None:
    if isinstance(node, Mapping) and len(node.entries) > 1:
        context.messages.add(
            "not-both",
            node.place,
            "'not' of two lines is true unless both hold",
            "for 'neither' write not: [{..}, {..}]",
            level="warning",
        )
    part = read_condition(node, context)
    return None if part is None else Not(part)


def _variant(node: Node, context: Context) -> Condition | None:
    if isinstance(node, Mapping):
        ends = _ends(node, context)
        if ends is None or not all(context.check_ref(("variants",), each.text, each.place) for each in ends):
            return None
        span = context.index.span(ends[0].text, ends[1].text)
        if not span:
            context.say(
                "empty-range", node.place, "no variant lies in this range", "two variants of one family, earlier first"
            )
            return None
        return OfVariant(frozenset(span))
    names = scalars_of(node, context, "a variant, a list of variants, or {from: .., to: ..}")
    if names is None or not all([context.check_ref(("variants",), each.text, each.place) for each in names]):
        return None
    return OfVariant(frozenset(each.text for each in names))


def _ends(node: Mapping, context: Context) -> tuple[Scalar, Scalar] | None:
    first, last = node.get("from"), node.get("to")
    if isinstance(first, Scalar) and isinstance(last, Scalar) and len(node.entries) == 2:
        return first, last
    context.say("wrong-type", node.place, "this is no range of variants", "{from: first-variant, to: last-variant}")
    return None


def _group(node: Node, context: Context) -> Condition | None:
    names = scalars_of(node, context, "a group, or a list of groups")
    if names is None or not all([context.check_ref(("groups",), each.text, each.place) for each in names]):
        return None
    return OfVariant(frozenset(each for name in names for each in context.index.span(*context.index.groups[name.text])))


def _family(node: Node, context: Context) -> Condition | None:
    names = scalars_of(node, context, "a family, or a list of families")
    if names is None or not all([context.check_ref(("families",), each.text, each.place) for each in names]):
        return None
    return OfVariant(frozenset(each for name in names for each in context.index.variants_of(name.text)))


def _whole(node: Mapping, key: str, context: Context) -> int | None:
    value = node.get(key)
    if value is None:
        return None
    if isinstance(value, Scalar) and value.text.isascii() and value.text.isdigit() and len(value.text) <= 12:
        return int(value.text)
    context.say("wrong-type", value.place, f"'{key}' is no whole number", f"{key}: 1936")
    return None


def _no_other_keys(node: Mapping, allowed: tuple[str, ...], context: Context) -> bool:
    strange = [key for key, _ in node.entries if key.text not in allowed]
    for key in strange:
        near = nearest(key.text, allowed)
        right = f"did you mean '{near}'?" if near else "only " + ", ".join(allowed)
        context.say("unknown-key", key.place, f"'{key.text}' is no key of this range", right)
    return not strange


def _made(node: Node, context: Context) -> Condition | None:
    if not isinstance(node, Mapping) or not node.entries:
        context.say(
            "wrong-type", node.place, "this is no range of years", "{from: 1936, to: 1939}, one end may be left out"
        )
        return None
    first, last = _whole(node, "from", context), _whole(node, "to", context)
    if not _no_other_keys(node, ("from", "to"), context) or (first is None and last is None):
        return None
    if first is not None and last is not None and first > last:
        context.say("empty-range", node.place, f"no year lies from {first} to {last}", "the earlier year first")
        return None
    context.year_cuts.update(year for year in (first, None if last is None else last + 1) if year is not None)
    return years_within(first, last)


def _serial(node: Node, context: Context) -> Condition | None:
    if not isinstance(node, Mapping) or not node.entries:
        context.say("wrong-type", node.place, "this is no range of serial numbers", "{prefix: B, from: 1, to: 900}")
        return None
    prefix = node.get("prefix")
    letters = prefix.text if isinstance(prefix, Scalar) else ""
    first, last = _whole(node, "from", context) or 0, _whole(node, "to", context)
    if not _no_other_keys(node, ("prefix", "from", "to"), context):
        return None
    if last is not None and first > last:
        context.say("empty-range", node.place, f"no number lies from {first} to {last}", "the lower number first")
        return None
    context.serial_cuts.add((letters, first))
    if last is not None:
        context.serial_cuts.add((letters, last + 1))
    return serials_within(letters, first, last)


_SPECIAL: dict[str, Callable[[Node, Context], Condition | None]] = {
    "not": _not,
    "variant": _variant,
    "group": _group,
    "family": _family,
    "made": _made,
    "serial": _serial,
}
