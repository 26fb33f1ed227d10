"""Mistakes made from the record types alone: what may stand under a key tells what may go wrong there.

No rule is asked. A shop is read as YAML nodes; each mistake is one node with another value, written out again and read
as any shop is, so that what the reader refuses is refused here too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import yaml

from handwheel.records.kinds import keys_of
from handwheel.records.library import KINDS
from handwheel.records.shapes import (
    Decimal,
    Many,
    Map,
    Nodes,
    OneWordOf,
    Part,
    Quantity,
    Ref,
    Shape,
    States,
    StepRef,
    Varying,
    When,
    Whole,
    YesNo,
)
from handwheel.records.step_records import EFFECTS, Ensure, Mirror, Reach, Repeat, Step, Under, Use

Dumper: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
PLANTED_IN = (
    "features", "findings", "choices", "readings", "positions", "materials", "finishes", "agents", "tools", "cautions",
    "lubricants", "parts", "fasteners", "settings", "oiling_points", "proofs", "prohibitions", "items", "procedures",
    "jobs",
)  # fmt: skip
HOLDERS: dict[str, type[Any]] = {"use": Use, "ensure": Ensure, "mirror": Mirror, "reach": Reach}


@dataclass(frozen=True)
class Mistake:
    """One node that becomes another."""

    kind: str
    """Operator and key: `drop effect removes`."""
    where: str
    node: Any
    value: Any

    def text(self, root: Any) -> str:
        """The file with the mistake in it."""
        before, self.node.value = self.node.value, self.value
        try:
            return written(root)
        finally:
            self.node.value = before


def parsed(text: str) -> Any:
    """A file as nodes."""
    return yaml.compose(text, Loader=Loader)


def written(root: Any) -> str:
    """Nodes as a file, in the style that they were read in."""
    return str(yaml.serialize(root, Dumper=Dumper, width=10_000, allow_unicode=True))


def scalar(value: str) -> Any:
    """A plain word or number."""
    return yaml.ScalarNode("tag:yaml.org,2002:str", value, style=None)


def sequence(nodes: Sequence[Any]) -> Any:
    """A list."""
    return yaml.SequenceNode("tag:yaml.org,2002:seq", list(nodes), flow_style=True)


def mapping(pairs: Sequence[tuple[Any, Any]]) -> Any:
    """A map."""
    return yaml.MappingNode("tag:yaml.org,2002:map", list(pairs), flow_style=True)


class Planter:
    """All mistakes that fit in a file.

    Args:
        roots: All files of the shop, for the ids and states that are valid in it.
    """

    def __init__(self, roots: Sequence[Any]) -> None:
        self.ids: dict[str, list[str]] = {}
        self.states: dict[str, list[str]] = {}
        for root in roots:
            for kind, records in root.value:
                for name, record in records.value if kind.value in KINDS else ():
                    self.ids.setdefault(kind.value, []).append(name.value)
                    self._note_states(name.value, record)

    def _note_states(self, name: str, record: Any) -> None:
        for key, value in record.value if isinstance(record, yaml.MappingNode) else ():
            if key.value in ("forms", "states"):
                of_map = isinstance(value, yaml.MappingNode)
                self.states[name] = [(each[0] if of_map else each).value for each in value.value]
            if key.value == "derived":
                self.states[name] = [{k.value: v.value for k, v in line.value}["form"] for line in value.value]
            if key.value == "offer":
                self.states[name] = ["accepted", "declined"]

    def mistakes(self, root: Any) -> Iterator[Mistake]:
        """Every mistake that fits in the file."""
        for kind, records in root.value:
            if kind.value in PLANTED_IN:
                for name, record in records.value:
                    yield from self._record(KINDS[kind.value].cls, record, f"{kind.value}/{name.value}")

    # ---------------------------------------------------------------------------- records and keys

    def _record(self, cls: type[Any], node: Any, where: str) -> Iterator[Mistake]:
        if not isinstance(node, yaml.MappingNode):
            return
        keys = keys_of(cls)
        for key, value in node.value:
            if key.value not in keys:
                continue
            field, described = keys[key.value]
            here = f"{where}.{key.value}"
            effect = "effect" if cls is Step and field in EFFECTS else "key"
            if not described.required and _is_fact(described.shape):
                rest = [pair for pair in node.value if pair[0] is not key]
                yield Mistake(f"drop {effect} {key.value}", here, node, rest)
            yield from self._value(described.shape, value, here, key.value)

    def _value(self, shape: Shape, node: Any, where: str, key: str) -> Iterator[Mistake]:
        match shape:
            case Nodes():
                yield from self._nodes(node, where)
            case When():
                yield from self._when(node, where)
            case Many(item=item):
                yield from self._many(item, node, where, key)
            case Map(item=item, keys=keys):
                yield from self._map(item, keys, node, where, key)
            case States(of=of) if of != "words":
                yield from self._states(node, where, key)
            case Part(cls=cls):
                yield from self._record(cls, node, where)
            case Varying(item=item):
                yield from self._varying(item, node, where, key)
            case _ if isinstance(node, yaml.ScalarNode):
                yield from self._scalar(shape, node, where, key)

    def _scalar(self, shape: Shape, node: Any, where: str, key: str) -> Iterator[Mistake]:
        match shape:
            case Ref(kinds=kinds):
                for other in _others([each for kind in kinds for each in self.ids.get(kind, ())], node.value, key):
                    yield Mistake(f"other id {key}", f"{where}={other}", node, other)
            case OneWordOf(words=words):
                for other in _others(words, node.value, key):
                    yield Mistake(f"other word {key}", f"{where}={other}", node, other)
            case YesNo():
                yield Mistake(f"other word {key}", where, node, "false" if node.value == "true" else "true")
            case Whole() | Decimal():
                yield Mistake(f"other number {key}", where, node, _other_number(node.value))
            case Quantity() if node.value[:1].isdigit():
                number, _, unit = node.value.partition(" ")
                yield Mistake(f"other number {key}", where, node, f"{_other_number(number)} {unit}")

    # --------------------------------------------------------------------------- lists and maps

    def _many(self, item: Shape, node: Any, where: str, key: str) -> Iterator[Mistake]:
        if not isinstance(node, yaml.SequenceNode):
            yield from self._value(item, node, where, key)
            return
        listed = node.value
        fact = _is_fact(item)
        for number, each in enumerate(listed):
            here = f"{where}[{number}]"
            if fact and len(listed) > 1:
                yield Mistake(f"drop one {key}", here, node, listed[:number] + listed[number + 1 :])
            if fact and key == "procedures":
                yield Mistake(f"twice {key}", here, node, [*listed[: number + 1], *deepcopy(listed[number:])])
            if fact and number and key in ("procedures", "stack"):
                yield Mistake(f"exchange {key}", here, node, _exchanged(listed, number))
            if isinstance(item, Decimal):
                yield Mistake(f"other number {key}", here, each, _other_number(each.value))
            else:
                yield from self._value(item, each, here, key)

    def _map(self, item: Shape, keys: Ref | None, node: Any, where: str, key: str) -> Iterator[Mistake]:
        if isinstance(node, yaml.SequenceNode) and keys is not None:
            yield from self._many(keys, node, where, key)
        if not isinstance(node, yaml.MappingNode):
            return
        for name, value in node.value:
            here = f"{where}.{name.value}"
            if (keys is not None or isinstance(item, Nodes)) and len(node.value) > 1:
                yield Mistake(f"drop one {key}", here, node, [pair for pair in node.value if pair[0] is not name])
            if keys is not None and not name.value.startswith("$"):
                yield from self._scalar(keys, name, here, key)
            if not (isinstance(value, yaml.ScalarNode) and value.value.startswith("$")):
                yield from self._value(item, value, here, key)

    def _states(self, node: Any, where: str, key: str) -> Iterator[Mistake]:
        for name, value in node.value if isinstance(node, yaml.MappingNode) else ():
            here = f"{where}.{name.value}"
            if len(node.value) > 1:
                yield Mistake(f"drop one {key}", here, node, [pair for pair in node.value if pair[0] is not name])
            for each in value.value if isinstance(value, yaml.SequenceNode) else (value,):
                for other in _others(self.states.get(name.value, ()), each.value, key):
                    yield Mistake(f"other state {key}", f"{here}={other}", each, other)

    def _varying(self, item: Shape, node: Any, where: str, key: str) -> Iterator[Mistake]:
        if not _is_fact(item):
            return
        cases = node.value if isinstance(node, yaml.SequenceNode) else ()
        if isinstance(node, yaml.ScalarNode):
            yield from self._value(item, node, where, key)
        for number, case in enumerate(cases):
            if not isinstance(case, yaml.MappingNode):
                continue
            held = {name.value: value for name, value in case.value}
            here = f"{where}[{number}]"
            yield Mistake(f"drop value {key}", here, node, cases[:number] + cases[number + 1 :])
            yield from self._when(held["when"], f"{here}.when")
            yield from self._value(item, held["is"], f"{here}.is", key)

    # ------------------------------------------------------------------------------- conditions

    def _when(self, node: Any, where: str) -> Iterator[Mistake]:
        if isinstance(node, yaml.SequenceNode):
            for number, _ in enumerate(node.value):
                rest = node.value[:number] + node.value[number + 1 :]
                yield Mistake("narrow when", f"{where}[{number}]", node, rest)
            return
        if not isinstance(node, yaml.MappingNode):
            return
        yield Mistake("negate when", where, node, [(scalar("not"), mapping(node.value))])
        for name, value in node.value:
            here = f"{where}.{name.value}"
            if len(node.value) > 1:
                yield Mistake("widen when", here, node, [pair for pair in node.value if pair[0] is not name])
            if name.value not in self.states:
                continue
            held = value.value if isinstance(value, yaml.SequenceNode) else [value]
            for number, each in enumerate(held):
                if len(held) > 1:
                    yield Mistake("narrow when", f"{here}[{number}]", value, held[:number] + held[number + 1 :])
                for other in _others(self.states[name.value], each.value, name.value):
                    yield Mistake("other state when", f"{here}={other}", each, other)
            named = {each.value for each in held}
            for other in self.states[name.value]:
                if other not in named:
                    wider = [(name, sequence([*held, scalar(other)]))]
                    pairs = [pair for pair in node.value if pair[0] is not name]
                    yield Mistake("widen when", f"{here}+{other}", node, [*pairs, *wider])

    # ------------------------------------------------------------------------------------ steps

    def _nodes(self, node: Any, where: str) -> Iterator[Mistake]:
        if not isinstance(node, yaml.SequenceNode):
            return
        listed = node.value
        for number, each in enumerate(listed):
            named = {key.value: value for key, value in each.value}
            here = f"{where}[{named['id'].value if 'id' in named else number}]"
            what = _what(named)
            yield Mistake(f"drop {what}", here, node, listed[:number] + listed[number + 1 :])
            if what.startswith("step"):
                twice = mapping(deepcopy([pair for pair in each.value if pair[0].value != "id"]))
                if "id" in named:
                    twice.value.append((scalar("id"), scalar(named["id"].value + "-twice")))
                yield Mistake(f"twice {what}", here, node, [*listed[: number + 1], twice, *listed[number + 1 :]])
            if what == "when" and isinstance(named.get("steps"), yaml.SequenceNode):
                spread = [*listed[:number], *named["steps"].value, *listed[number + 1 :]]
                yield Mistake("widen when", here, node, spread)
            if number:
                yield Mistake("exchange steps", here, node, _exchanged(listed, number))
            yield from self._node(each, named, here)

    def _node(self, node: Any, named: dict[str, Any], where: str) -> Iterator[Mistake]:
        if "by" in named and "do" not in named:
            yield from self._by(node, where)
        elif "repeat" in named:
            yield from self._record(Repeat, named["repeat"], where)
            if "otherwise" in named:
                yield from self._nodes(named["otherwise"], f"{where}.otherwise")
        elif "do" in named:
            yield from self._record(Step, node, where)
        elif holder := next((HOLDERS[key] for key in HOLDERS if key in named), None):
            yield from self._record(holder, node, where)
        elif "when" in named:
            yield from self._record(Under, node, where)

    def _by(self, node: Any, where: str) -> Iterator[Mistake]:
        for name, value in node.value:
            here = f"{where}.{name.value}"
            if name.value == "by":
                continue
            yield Mistake("drop case", here, node, [pair for pair in node.value if pair[0] is not name])
            if isinstance(value, yaml.SequenceNode):
                nothing = [(k, scalar("nothing") if k is name else v) for k, v in node.value]
                yield Mistake("empty case", here, node, nothing)
                yield from self._nodes(value, here)
        pairs = [pair for pair in node.value if pair[0].value != "by"]
        for (one, of_one), (other, of_other) in pairwise(pairs):
            changed = {id(one): of_other, id(other): of_one}
            exchanged = [(k, changed.get(id(k), v)) for k, v in node.value]
            yield Mistake("exchange cases", f"{where}.{one.value}", node, exchanged)


def _what(named: dict[str, Any]) -> str:
    if "do" in named:
        return f"step ({next((each for each in EFFECTS if each in named), 'words')})"
    return next(
        (each for each in ("by", "use", "ensure", "mirror", "repeat", "reach", "one_of") if each in named), "when"
    )


def _is_fact(shape: Shape) -> bool:
    """Whether what stands there is about the machine and the work, and not words to read."""
    match shape:
        case Many(item=item) | Map(item=item) | Varying(item=item):
            return (isinstance(shape, Map) and shape.keys is not None) or _is_fact(item)
        case Ref(kinds=kinds):
            return not set(kinds) & {"figures", "sources", "spares", "recordings", "supplies", "blades", "threads"}
        case States() | When() | OneWordOf() | YesNo() | Whole() | Decimal() | StepRef() | Nodes():
            return True
        case Quantity(dimension=dimension):
            return dimension in ("mass", "time")
        case Part(cls=cls):
            return cls.__name__ not in ("Form", "Shown", "Years")
    return False


def _others(known: Sequence[str], value: str, key: str) -> list[str]:
    """Valid words in its stead: all of few, else the two that follow it."""
    if value not in known:
        return []
    place = list(known).index(value)
    turned = [*known[place + 1 :], *known[:place]]
    return turned if len(turned) <= 3 or key in ("cleans", "tests_on") else turned[:2]


def _other_number(text: str) -> str:
    return str(int(text) * 2 + 1) if text.isdigit() else f"{float(text) * 2 + 0.5:g}"


def _exchanged(listed: list[Any], number: int) -> list[Any]:
    return [*listed[: number - 1], listed[number], listed[number - 1], *listed[number + 1 :]]
