"""What a key is, in each kind of record that has it, and who writes it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from functools import cache
from typing import Any

from handwheel.desk.meaning import Meaning, User
from handwheel.reading.linking import nested
from handwheel.reading.schema import schema_of
from handwheel.records import shapes as s
from handwheel.records import step_records as steps
from handwheel.records.kinds import KINDS, keys_of
from handwheel.records.library import Library

CONSTRUCTS: dict[str, type[Any]] = {"by": steps.By, "one_of": steps.OneOf, "repeat": steps.Repeat}
"""Constructs that hold steps and are no key of a class by the same name."""


def key_meanings(library: Library, word: str) -> Iterator[Meaning]:
    """A key, a word that a key may have, a construct of steps, a word of conditions."""
    senses = [(cls, name, key) for cls in _classes() for name, key in keys_of(cls).items()]
    for cls, name, (field, described) in senses:
        if name == word:
            sort = "effect" if cls is steps.Step and name in steps.EFFECTS else "key"
            found = tuple(written_by(library, cls, field))
            yield Meaning(f"{sort} '{word}:' of {_named(cls)}", "", described.doc, said=_said(described), users=found)
    for cls, name, (_, described) in senses:
        if word in _words(described.shape):
            said = (("key", described.doc), ("its words", ", ".join(_words(described.shape))))
            yield Meaning(f"word of '{name}:' of {_named(cls)}", said=said)
    if word in CONSTRUCTS:
        yield Meaning(f"construct '{word}:' that holds steps", "", (CONSTRUCTS[word].__doc__ or "").strip())
    yield from _condition_words(word)


@cache
def _classes() -> tuple[type[Any], ...]:
    """Every class of records, nested ones with them, each once."""
    found: dict[type[Any], None] = {}
    left: list[type[Any]] = [kind.cls for kind in KINDS.values()]
    left += [steps.Step, steps.Under, steps.Use, steps.Ensure, steps.Mirror, steps.Repeat, steps.Reach]
    while left:
        cls = left.pop(0)
        if cls not in found:
            found[cls] = None
            left += [each for _, described in keys_of(cls).values() for each in _nested(described.shape)]
    return tuple(found)


def _nested(shape: s.Shape) -> Iterator[type[Any]]:
    if isinstance(shape, s.Part):
        yield shape.cls
    elif isinstance(shape, s.Many | s.Map | s.Varying):
        yield from _nested(shape.item)


def _named(cls: type[Any]) -> str:
    kind = next((kind.singular for kind in KINDS.values() if kind.cls is cls), cls.__name__.lower())
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _words(shape: s.Shape) -> tuple[str, ...]:
    match shape:
        case s.OneWordOf(words):
            return words
        case s.Many(item) | s.Map(item) | s.Varying(item):
            return _words(item)
        case _:
            return ()


def _said(described: s.Key) -> tuple[tuple[str, str], ...]:
    """What may stand under it, from its shape."""
    must = (("must be there", "yes"),) if described.required else ()
    words = _words(described.shape)
    return (("such as", described.example), ("takes", shape_words(described.shape)), *must) + (
        (("its words", ", ".join(words)),) if words else ()
    )


def shape_words(shape: s.Shape) -> str:
    """A shape in words."""
    match shape:
        case s.Many(item):
            return f"one or a list of: {shape_words(item)}"
        case s.Map(item):
            return f"a map to: {shape_words(item)}"
        case s.Varying(item):
            return f"{shape_words(item)}; or alternatives, of which one holds for each machine"
        case s.Part(cls):
            return f"keys: {', '.join(keys_of(cls))}"
        case s.Ref(kinds):
            return "the id of a " + " or ".join(KINDS[kind].singular for kind in kinds)
        case s.Quantity(dimension):
            return f"a {dimension} with its unit"
        case _:
            first = (type(shape).__doc__ or "").strip().split(".")[0]
            return first[:1].lower() + first[1:]


def written_by(library: Library, cls: type[Any], field: str) -> Iterator[User]:
    """Records that write the key; for keys of steps, procedures that have such a step, at the first."""
    for plural, kind in KINDS.items():
        if kind.cls is cls:
            for record in library.of(plural).values():
                if field in record.at:
                    yield User(kind.singular, record.id, str(record.at[field]))
    for procedure in library.procedures.values() if _is_node(cls) else ():
        places = [node.at[field] for node in nested(procedure.steps) if isinstance(node, cls) and field in node.at]
        if places:
            yield User("procedure", procedure.id, str(places[0]))


def _is_node(cls: type[Any]) -> bool:
    return cls.__module__ == steps.__name__ and dataclasses.is_dataclass(cls)


def _condition_words(word: str) -> Iterator[Meaning]:
    known = _keys_of_conditions()
    if word in known:
        example = str(known[word]["examples"][0]).replace("'", "")
        yield Meaning(f"word '{word}:' of conditions", "", known[word]["description"], said=(("such as", example),))


@cache
def _keys_of_conditions() -> dict[str, Any]:
    found: dict[str, Any] = schema_of(s.When())["$defs"]["Condition"]["anyOf"][0]["properties"]
    return found
