"""Texts and records as YAML lines, quoted where they must be."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

_PLAIN = re.compile(r"[^\W\d_](?:[\w .'()/;-]*[\w.)])?")
_WORDS = frozenset(("true", "false", "null", "yes", "no", "on", "off", "y", "n"))
_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t"}


class Raw(str):
    """YAML as a person wrote it: no text to be quoted."""


Value = str | Raw | Sequence["Value"] | Mapping[str, "Value"]


def scalar(text: str) -> str:
    """A text as one YAML scalar that stands in any place: plain where that is sure, else in double quotes."""
    if _PLAIN.fullmatch(text) and text.isascii() and text.lower() not in _WORDS:
        return text
    return '"' + "".join(_ESCAPES.get(each) or _escaped(each) for each in text) + '"'


def _escaped(character: str) -> str:
    if character.isprintable():
        return character
    return f"\\u{ord(character):04x}" if ord(character) < 0x10000 else f"\\U{ord(character):08x}"


def flow(value: Value) -> str:
    """A value on one line."""
    if isinstance(value, Raw):
        return value.strip()
    if isinstance(value, str):
        return scalar(value)
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {flow(each)}" for key, each in value.items()) + "}"
    return "[" + ", ".join(flow(each) for each in value) + "]"


def record_lines(identifier: str, keys: Mapping[str, Value], indent: int) -> Iterator[str]:
    """A record under its id: a line a key."""
    yield f"{' ' * indent}{identifier}:"
    for key, value in keys.items():
        yield f"{' ' * (indent + 2)}{key}: {flow(value)}"


def item_lines(keys: Mapping[str, Value], indent: int) -> Iterator[str]:
    """An item of a list: a line a key."""
    for number, (key, value) in enumerate(keys.items()):
        yield f"{' ' * indent}{'  ' if number else '- '}{key}: {flow(value)}"
