"""Where keys stand in a YAML file that is not content and not ours to define: tags, anchors and all are let be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import yaml

from handwheel.reading.messages import Messages
from handwheel.reading.syntax import syntax_message
from handwheel.records.places import Place


@dataclass(frozen=True)
class Outline:
    """The keys of a file, with their places."""

    file: str
    root: yaml.Node | None

    @property
    def has_keys(self) -> bool:
        """Whether the file is a mapping, and not empty, a list or a text."""
        return isinstance(self.root, yaml.MappingNode)

    def place(self, *keys: str) -> Place:
        """Where the innermost of these keys stands that is there."""
        return self._found(keys)[1]

    def has(self, *keys: str) -> bool:
        """Whether all of these keys are there, each under the one before."""
        return self._found(keys)[0] == len(keys)

    def twice(self) -> Iterator[tuple[Place, str, Place]]:
        """Keys that stand twice in one place: where, which, and where first."""
        yield from _twice(self.root, self.file)

    def _found(self, keys: tuple[str, ...]) -> tuple[int, Place]:
        node, place = self.root, Place(self.file)
        for number, key in enumerate(keys):
            entry = _entry(node, key)
            if entry is None:
                return number, place
            place, node = _place(entry[0], self.file), entry[1]
        return len(keys), place


def outline_of(text: str, file: str, messages: Messages) -> Outline | None:
    """The outline of a text; nothing, and a message, if it is no YAML."""
    try:
        return Outline(file, yaml.compose(text, yaml.CSafeLoader))
    except yaml.YAMLError as error:
        messages.put(syntax_message(error, text, file))
        return None


def _place(node: yaml.Node, file: str) -> Place:
    return Place(file, node.start_mark.line + 1, node.start_mark.column + 1)


def _twice(node: yaml.Node | None, file: str) -> Iterator[tuple[Place, str, Place]]:
    if isinstance(node, yaml.MappingNode):
        seen: dict[str, Place] = {}
        for key, value in node.value:
            if isinstance(key, yaml.ScalarNode):
                if first := seen.get(key.value):
                    yield _place(key, file), key.value, first
                seen.setdefault(key.value, _place(key, file))
            yield from _twice(value, file)
    elif isinstance(node, yaml.SequenceNode):
        for each in node.value:
            yield from _twice(each, file)


def _entry(node: yaml.Node | None, key: str) -> tuple[yaml.Node, yaml.Node | None] | None:
    """The key and its value in a mapping, or in a list of names and mappings."""
    if isinstance(node, yaml.MappingNode):
        return next(((name, value) for name, value in node.value if name.value == key), None)
    if isinstance(node, yaml.SequenceNode):
        for each in node.value:
            if isinstance(each, yaml.ScalarNode) and each.value == key:
                return each, None
            if isinstance(each, yaml.MappingNode) and (found := _entry(each, key)):
                return found
    return None
