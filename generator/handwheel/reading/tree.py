"""Nodes: what was written, with places, before anything is known of its meaning."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal, NamedTuple

from handwheel.records.places import Place

Style = Literal["plain", "single", "double", "literal", "folded", "null"]

_SIMPLE_WORD = re.compile(r"[^\W_]([\w-]*[^\W_])?")


class Scalar(NamedTuple):
    """One piece of text, as it was written: `no`, `1:30`, `0123` and `2.10` stay text."""

    text: str
    place: Place
    style: Style = "plain"
    comment: str = ""
    """A comment that ends a plain scalar on its own line, from its `#` on: text that may have been cut."""

    @property
    def quoted(self) -> bool:
        """Whether it stands in quotes."""
        return self.style in ("single", "double")

    @property
    def is_null(self) -> bool:
        """Whether nothing was written (or `~`, or `null`); its text is then empty."""
        return self.style == "null"


class Sequence(NamedTuple):
    """A list."""

    items: tuple[Node, ...]
    place: Place


class Mapping(NamedTuple):
    """Keys with what belongs to them, in the order written; no key stands twice."""

    entries: tuple[tuple[Scalar, Node], ...]
    place: Place

    def get(self, key: str) -> Node | None:
        """What belongs to a key."""
        return next((node for name, node in self.entries if name.text == key), None)


Node = Scalar | Sequence | Mapping


def scalars(node: Node) -> Iterator[Scalar]:
    """All scalars of a tree, keys included, in the order written."""
    match node:
        case Scalar():
            yield node
        case Sequence(items):
            for item in items:
                yield from scalars(item)
        case Mapping(entries):
            for key, value in entries:
                yield key
                yield from scalars(value)


def cut_by_comment(node: Node) -> tuple[Scalar, ...]:
    """Plain scalars that are followed on their own line by ` #`: in prose, the rest was lost as a comment."""
    return tuple(scalar for scalar in scalars(node) if scalar.comment)


def is_simple_word(text: str) -> bool:
    """Whether a text is one word of letters, digits, `-` and `_`, as keys and ids are."""
    return _SIMPLE_WORD.fullmatch(text) is not None


def looks_like_comma_cut(mapping: Mapping) -> tuple[Scalar, ...]:
    """Keys that are likely the rest of a text that a comma cut, as in `{do: Undo it, lift the plate off.}`.

    Such a key has nothing of its own and follows a text without quotes; it is no simple word, or that text is several.
    """
    return tuple(
        key
        for (_, before), (key, value) in zip(mapping.entries, mapping.entries[1:], strict=False)
        if isinstance(value, Scalar) and value.is_null and _may_go_on(before, key)
    )


def _may_go_on(before: Node, key: Scalar) -> bool:
    if not isinstance(before, Scalar) or before.style not in ("plain", "null"):
        return False
    return " " in before.text or not is_simple_word(key.text)
