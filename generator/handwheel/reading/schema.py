"""The record classes -> a JSON Schema (draft 2020-12) of a content file, for editors.

It says what the reader says of the shape of a file: keys, kinds of value, what must be there. What only the reader can
judge is left to it: whether an id or a state exists, whether numbers rise, whether a unit is known, circles.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from handwheel.reading.conditions import RESERVED
from handwheel.reading.layering import ID_PATTERN, LONGEST_ID, REPLACES
from handwheel.reading.plain import plain_value
from handwheel.records import shapes as s
from handwheel.records import step_records as steps
from handwheel.records.kinds import KINDS, Kind, keys_of
from handwheel.records.shapes import Key

Schema = dict[str, Any]

DIALECT = "https://json-schema.org/draft/2020-12/schema"
SCALAR: Schema = {"type": ["string", "number", "boolean"]}
"""A single value. An editor takes `1950` for a number and `true` for a truth where the reader keeps the text."""
NAME: Schema = {**SCALAR, "pattern": rf"^(\$.+|{ID_PATTERN})$"}
"""An id, or a `$word` of a shared run."""
SINGLE_WORD: Schema = {"pattern": r"^[^\W_]([\w-]*[^\W_])?$"}


def schema() -> Schema:
    """The schema of one content file."""
    definitions = _Definitions()
    in_order = sorted(KINDS.values(), key=lambda kind: kind.plural)  # not in that in which files were imported
    kinds = {kind.plural: definitions.of_kind(kind) for kind in in_order}
    return {
        "$schema": DIALECT,
        "title": "A content file of a shop",
        "description": "Kinds of record, under each the ids of its records, under each id its keys.",
        "type": ["object", "null"],
        "properties": kinds,
        "additionalProperties": False,
        "$defs": dict(sorted(definitions.made.items())),
    }


def schema_of(shape: s.Shape) -> Schema:
    """The schema of one shape by itself, with all that it refers to."""
    definitions = _Definitions()
    made = definitions.of(shape)
    return {"$schema": DIALECT, **made, "$defs": definitions.made}


class _Definitions:
    """Schemas made so far; each record class, and each thing that can hold itself, is made once and referred to."""

    def __init__(self) -> None:
        self.made: dict[str, Schema] = {}

    def of(self, shape: s.Shape) -> Schema:
        """The schema of a shape."""
        return _SHAPES[type(shape)](shape, self)

    def once(self, name: str, make: Callable[[], Schema]) -> Schema:
        """A reference to a definition, made at the first call; it may refer to itself."""
        if name not in self.made:
            self.made[name] = {}
            self.made[name].update(make())
        return {"$ref": f"#/$defs/{name}"}

    def of_kind(self, kind: Kind) -> Schema:
        """All records of a kind in a file."""
        record = self.once(kind.cls.__name__, lambda: self._record(kind))
        ids = {"pattern": f"^{ID_PATTERN}$", "maxLength": LONGEST_ID}
        about = {"description": kind.doc, "type": ["object", "null"]}
        return {**about, "propertyNames": ids, "additionalProperties": record}

    def _record(self, kind: Kind) -> Schema:
        made = self.keys(kind.cls)
        replaces = {"description": "It takes the place of an entry of the library.", "enum": [True, False]}
        made["properties"][REPLACES] = {**replaces, "examples": [True]}
        may_be_empty = not made["required"]
        return {**made, "type": ["object", "null"]} if may_be_empty else made

    def keys(self, cls: type[Any]) -> Schema:
        """A map with the keys of a class."""
        known = {name: described for name, (_, described) in keys_of(cls).items()}
        return {
            "title": _title(cls),
            "description": (cls.__doc__ or "").strip().splitlines()[0],
            "type": "object",
            "properties": {name: self._key(described) for name, described in known.items()},
            "required": [name for name, described in known.items() if described.required],
            "additionalProperties": False,
        }

    def _key(self, described: Key) -> Schema:
        about = {"description": described.doc, "examples": [plain_value(described.example)]}
        return about | self.of(described.shape)

    def nested(self, cls: type[Any]) -> Schema:
        """A nested record, or a plain value for its first key where that is all it needs."""
        return self.once(cls.__name__, lambda: self._nested(cls))

    def _nested(self, cls: type[Any]) -> Schema:
        made, known = self.keys(cls), keys_of(cls)
        first = next(iter(known))
        if set(made["required"]) - {first}:
            return made  # a plain value alone would leave out what must be there
        return {"anyOf": [made, {"allOf": [SCALAR, self.of(known[first][1].shape)]}]}


def _title(cls: type[Any]) -> str:
    """The word for a record of the class."""
    return next((kind.singular for kind in KINDS.values() if kind.cls is cls), cls.__name__.lower())


def _one_of(shape: s.OneWordOf, _: _Definitions) -> Schema:
    return {"enum": list(shape.words)}


def _whole(shape: s.Whole, _: _Definitions) -> Schema:
    number = {"type": "integer", "minimum": shape.least, "maximum": shape.most}
    return {"anyOf": [number, {"type": "string", "pattern": "^[0-9]{1,10}$"}]}


def _decimal(*_: object) -> Schema:
    return {"type": ["number", "string"], "pattern": r"^[+-]?([0-9]{1,15}(\.[0-9]{1,15})?|\.[0-9]{1,15})$"}


def _quantity(shape: s.Quantity, _: _Definitions) -> Schema:
    number = {"type": "string", "pattern": r"^\s*[+-]?[0-9.].*[^0-9.\s]\s*$"}
    return {"anyOf": [{"enum": list(shape.words)}, number]} if shape.words else number


def _minutes(*_: object) -> Schema:
    item = _decimal()
    three = {"type": "array", "items": item, "minItems": 3, "maxItems": 3}
    return {"anyOf": [item, {"type": "array", "items": item, "minItems": 1, "maxItems": 1}, three]}


def _ref(shape: s.Ref, _: _Definitions) -> Schema:
    return {"anyOf": [{"enum": list(shape.words)}, NAME]} if shape.words else NAME


def _cite(_: s.Cite, definitions: _Definitions) -> Schema:
    place: Schema = {
        "title": "source with the place in it",
        "type": "object",
        "properties": {
            "source": {"description": "The source.", "examples": ["iso-2380-1"], **NAME},
            "at": {"description": "Clause, table or page in it.", "examples": ["table 2"], **SCALAR},
        },
        "required": ["source"],
        "additionalProperties": False,
    }
    return definitions.once("Source_cited", lambda: {"anyOf": [NAME, place]})


def _some(item: Schema) -> Schema:
    """One, or a list with something in it."""
    return {"anyOf": [item, {"type": "array", "items": item, "minItems": 1}]}


def _ends(properties: Schema, required: tuple[str, ...] = ()) -> Schema:
    about = {"type": "object", "minProperties": 1, "additionalProperties": False}
    return {**about, "properties": properties, "required": list(required)}


def _year(example: int) -> Schema:
    number = {"anyOf": [{"type": "integer", "minimum": 0}, {"type": "string", "pattern": "^[0-9]{1,12}$"}]}
    return {"description": "One end of the range, within it.", "examples": [example], **number}


def _condition() -> Schema:
    itself = {"$ref": "#/$defs/Condition"}
    first = {"description": "The first of them.", "examples": ["dipper-first"], **NAME}
    last = {"description": "The last of them.", "examples": ["dipper-second"], **NAME}
    variants = _ends({"from": first, "to": last}, ("from", "to"))
    letters = {"description": "Letters before the number.", "examples": ["B"], **SCALAR}
    texts: dict[str, tuple[str, Any, Schema]] = {
        "not": ("It holds when this does not.", {"lamp": "none"}, itself),
        "variant": ("Variants as they left the works.", ["dipper-first"], {"anyOf": [*_some(NAME)["anyOf"], variants]}),
        "group": ("Groups of variants.", ["early"], _some(NAME)),
        "family": ("Families.", ["dipper"], _some(NAME)),
        "made": ("Years made.", {"from": 1936, "to": 1939}, _ends({"from": _year(1936), "to": _year(1939)})),
        "serial": (
            "Serial numbers.",
            {"prefix": "B", "from": 1, "to": 900},
            _ends({"prefix": letters, "from": _year(1), "to": _year(900)}),
        ),
    }
    assert set(texts) == set(RESERVED)
    lines = {key: {"description": doc, "examples": [example], **shape} for key, (doc, example, shape) in texts.items()}
    all_hold = {
        "title": "condition",
        "type": "object",
        "minProperties": 1,
        "properties": lines,
        "additionalProperties": _some(SCALAR),
    }
    return {"anyOf": [all_hold, {"type": "array", "items": itself, "minItems": 1}]}


def _when(_: s.When, definitions: _Definitions) -> Schema:
    return definitions.once("Condition", _condition)


def _states(*_: object) -> Schema:
    return {"type": "object", "minProperties": 1, "additionalProperties": _some(SCALAR)}


def _many(shape: s.Many, definitions: _Definitions) -> Schema:
    item = definitions.of(shape.item)
    items: Schema = {"type": "array", "items": item}
    if isinstance(shape.item, s.Ref | s.OneWordOf):
        items["uniqueItems"] = True
    return {"anyOf": [item, items]}


def _map(shape: s.Map, definitions: _Definitions) -> Schema:
    item = definitions.of(shape.item)
    if shape.keys is None:
        return {"type": "object", "propertyNames": SINGLE_WORD, "additionalProperties": item}
    names = {"pattern": NAME["pattern"]}
    if not isinstance(shape.item, s.Words):
        return {"type": "object", "propertyNames": names, "additionalProperties": item}
    or_nothing = {"type": "object", "propertyNames": names, "additionalProperties": {"anyOf": [item, {"type": "null"}]}}
    return {"anyOf": [or_nothing, NAME, {"type": "array", "items": NAME, "uniqueItems": True}]}


def _varying(shape: s.Varying, definitions: _Definitions) -> Schema:
    item = definitions.of(shape.item)
    question = {"description": "The question that it hangs on, or variant.", "examples": ["lamp"], **NAME}
    by = {
        "title": "by",
        "type": "object",
        "properties": {"by": question},
        "required": ["by"],
        "additionalProperties": item,
    }
    when = {"description": "When this value holds.", "examples": [{"lamp": "bracket"}]}
    case = {
        "title": "value and when it holds",
        "type": "object",
        "properties": {"when": when | definitions.of(s.When()), "is": {"description": "The value."} | item},
        "required": ["is"],
        "additionalProperties": False,
    }
    return {"anyOf": [item, by, {"type": "array", "items": case, "minItems": 1}]}


def _nodes(_: s.Nodes, definitions: _Definitions) -> Schema:
    def make() -> Schema:
        node = definitions.once("Node", lambda: _node(definitions))
        return {"anyOf": [{"type": "array", "items": node, "minItems": 1}, node, {"const": "nothing"}]}

    return definitions.once("Steps", make)


def _node(definitions: _Definitions) -> Schema:
    plain = (steps.Step, steps.Under, steps.Use, steps.Ensure, steps.Mirror, steps.Reach)
    made = [definitions.once(cls.__name__, lambda cls=cls: definitions.keys(cls)) for cls in plain]  # type: ignore[misc]
    return {"anyOf": [*made, _by(definitions), _alternatives(definitions), _repeat(definitions)]}


def _by(definitions: _Definitions) -> Schema:
    question = {"description": "The question; every state of it stands below.", "examples": ["lamp"], **NAME}
    properties = {"by": question, "do": False}
    about = {"title": "by", "description": "Alternatives that hang on one question.", "type": "object"}
    return {**about, "properties": properties, "required": ["by"], "additionalProperties": definitions.of(s.Nodes())}


def _alternatives(definitions: _Definitions) -> Schema:
    under = definitions.once("Under", lambda: definitions.keys(steps.Under))
    about = {"description": "Alternatives of which exactly one holds.", "examples": [[{"when": {}, "steps": []}]]}
    properties = {"one_of": {**about, "type": "array", "items": under}}
    return {
        "title": "one of",
        "type": "object",
        "properties": properties,
        "required": ["one_of"],
        "additionalProperties": False,
    }


def _repeat(definitions: _Definitions) -> Schema:
    inner = definitions.once("Repeat", lambda: definitions.keys(steps.Repeat))
    about = {"description": "Steps done again until a state is reached."}
    last = {"description": "What to do when the tries are used up."}
    properties = {"repeat": about | inner, "otherwise": last | definitions.of(s.Nodes())}
    return {
        "title": "repeat",
        "type": "object",
        "properties": properties,
        "required": ["repeat"],
        "additionalProperties": False,
    }


_SHAPES: dict[type[s.Shape], Callable[[Any, _Definitions], Schema]] = {
    s.Words: lambda *_: SCALAR,
    s.Prose: lambda *_: SCALAR,
    s.OneWordOf: _one_of,
    s.YesNo: lambda *_: {"enum": [True, False, "true", "false"]},
    s.Whole: _whole,
    s.Decimal: _decimal,
    s.Quantity: _quantity,
    s.Day: lambda *_: {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"},
    s.Clock: lambda *_: {"type": "string", "pattern": "^([0-9]{1,2}:)?[0-9]{1,3}:[0-5][0-9]$"},
    s.ThreePoint: _minutes,
    s.Ref: _ref,
    s.StepRef: lambda *_: SCALAR,
    s.Cite: _cite,
    s.When: _when,
    s.States: _states,
    s.Many: _many,
    s.Map: _map,
    s.Part: lambda shape, definitions: definitions.nested(shape.cls),
    s.Varying: _varying,
    s.Nodes: _nodes,
}
