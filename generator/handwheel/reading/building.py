"""Libyaml's events -> nodes, counted as they come.

Nothing is built before it was counted: an alias is never copied, and depth and number of nodes are judged at each
event, so that a small file can never turn into long work. A scalar keeps the text that was written, whatever YAML 1.1
would make of it.
"""

from __future__ import annotations

import gc
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import yaml
from yaml import events as ev

from handwheel.reading import defects
from handwheel.reading.messages import Messages
from handwheel.reading.tree import Mapping, Node, Scalar, Sequence, Style
from handwheel.records.places import Place

_STYLES: dict[str | None, Style] = {
    None: "plain",
    "": "plain",
    "'": "single",
    '"': "double",
    "|": "literal",
    ">": "folded",
}
_NULLS = frozenset(("", "~", "null", "Null", "NULL"))
_COMMENT = re.compile(r"[ \t]+(#[^\n]*)")


@dataclass(frozen=True)
class Limits:
    """Bounds that no sound file comes near; beyond them a file is refused, never read for long."""

    max_bytes: int = 4_000_000
    depth: int = 40
    nodes: int = 400_000
    """Nodes of one file, each alias counted with all that it repeats."""


class StopReadingError(Exception):
    """The rest of a file is not worth a look; a message was left."""


@contextmanager
def paused_collector() -> Iterator[None]:
    """Nodes hold no cycles, and looking for some while they are made takes a third of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@dataclass(slots=True)
class _Frame:
    """A collection that is still open."""

    place: Place
    mapping: bool
    anchor: str | None
    counted: int
    """Nodes counted before it, to know how many it holds."""
    items: list[Any] = field(default_factory=list)
    keys: dict[str, Scalar] = field(default_factory=dict)
    key: Scalar | None = None
    """The key whose value comes next; none while a key is awaited, or when the key was refused."""
    waits_for_key: bool = True
    height: int = 1


@dataclass(frozen=True, slots=True)
class _Anchored:
    node: Node
    size: int
    height: int


class Builder:
    """Builds one file's nodes; its only state is what is open, what was counted, and what has a name."""

    def __init__(self, text: str, file: str, messages: Messages, limits: Limits) -> None:
        self.text = text
        self.file = file
        self.messages = messages
        self.limits = limits
        self.open: list[_Frame] = []
        self.anchors: dict[str, _Anchored] = {}
        self.anchored_at: dict[str, Place] = {}
        self.count = 0
        self.root: Node | None = None
        self.last: Scalar | None = None
        # Any: the stubs do not know that events of libyaml always have marks, and which have tags.
        self.handlers: dict[type[ev.Event], Callable[[Any], None]] = {
            ev.ScalarEvent: self._scalar,
            ev.MappingStartEvent: self._start,
            ev.SequenceStartEvent: self._start,
            ev.MappingEndEvent: self._end,
            ev.SequenceEndEvent: self._end,
            ev.AliasEvent: self._alias,
            ev.DocumentStartEvent: self._document,
        }

    def build(self) -> Node | None:
        """The root node of the only document; raises `yaml.YAMLError` or `StopReadingError`."""
        next_event, handlers = yaml.CBaseLoader(self.text).get_event, self.handlers
        while (kind := type(event := next_event())) is not ev.StreamEndEvent:
            if kind in handlers:
                handlers[kind](event)
        return self.root

    def _document(self, event: Any) -> None:
        if self.root is not None:
            self._stop(defects.SECOND_DOCUMENT, self._place(event))

    def _scalar(self, event: Any) -> None:
        start = event.start_mark
        place = Place(self.file, start.line + 1, start.column + 1)
        if event.tag:
            self._say(defects.TAG, place, tag=_written_tag(event.tag))
        text: str = event.value
        style = _STYLES[event.style]
        comment = ""
        if style == "plain":
            if found := _COMMENT.match(self.text, event.end_mark.index):
                comment = found[1].rstrip()
            if event.end_mark.line != start.line:
                self._judge_long_plain(event)
            if text in _NULLS:
                text, style = "", "null"
        elif style == "double" and not text.isprintable():
            self._judge_escapes(text, place)
        self.last = scalar = Scalar(text, place, style, comment)
        self._count(1, place)
        if event.anchor:
            self._judge_anchor(event.anchor, place)
            self.anchors[event.anchor] = _Anchored(scalar, 1, 0)
        self._take(scalar, place)

    def _start(self, event: Any) -> None:
        place = self._place(event)
        if event.tag:
            self._say(defects.TAG, place, tag=_written_tag(event.tag))
        self._count(1, place)
        self._judge_depth(1, place)
        if event.anchor:
            self._judge_anchor(event.anchor, place)
        mapping = type(event) is ev.MappingStartEvent
        self.open.append(_Frame(place, mapping, event.anchor, self.count - 1))

    def _end(self, _: Any) -> None:
        frame = self.open.pop()
        items = tuple(frame.items)
        node: Node = Mapping(items, frame.place) if frame.mapping else Sequence(items, frame.place)
        if frame.anchor:
            self.anchors[frame.anchor] = _Anchored(node, self.count - frame.counted, frame.height)
        self._take(node, frame.place, frame.height)

    def _alias(self, event: Any) -> None:
        place = self._place(event)
        if known := self._known(event.anchor, place):
            self._count(known.size, place)
            self._judge_depth(known.height, place)
            self._take(known.node, place, known.height, alias=True)
        else:
            self._take(Scalar("", place, "null"), place, alias=True)

    def _known(self, name: str, place: Place) -> _Anchored | None:
        if any(frame.anchor == name for frame in self.open):
            self._say(defects.RECURSIVE_ALIAS, place, name=name)
            return None
        if name not in self.anchors:
            self.messages.put(defects.unknown_alias(name, self.anchors, place))
        return self.anchors.get(name)

    def _take(self, node: Node, place: Place, height: int = 0, alias: bool = False) -> None:
        """Put a finished node where it belongs."""
        if not self.open:
            self.root = node
            return
        frame = self.open[-1]
        if height >= frame.height:
            frame.height = height + 1
        if not frame.mapping:
            frame.items.append(node)
        elif frame.waits_for_key:
            frame.waits_for_key = False
            frame.key = self._key(frame, node, place, alias)
        else:
            self._take_value(frame, node)

    def _take_value(self, frame: _Frame, node: Node) -> None:
        frame.waits_for_key = True
        if (key := frame.key) is None:
            return
        frame.items.append((key, node))
        if type(node) is Scalar and node.is_null and defects.is_word_colon_text(key):
            self._say(defects.NO_SPACE_AFTER_COLON, key.place, text=key.text, spaced=key.text.replace(":", ": ", 1))

    def _key(self, frame: _Frame, node: Node, place: Place, alias: bool) -> Scalar | None:
        """The node as a key of the frame; nothing, and a message, if it cannot be one."""
        if alias or not isinstance(node, Scalar):
            self._say(defects.KEY_IS_NO_WORD, place)
        elif node.is_null or not node.text:
            self._say(defects.EMPTY_KEY, place)
        elif node.text == "<<" and node.style == "plain":
            self._say(defects.MERGE_KEY, place)
        elif first := frame.keys.get(node.text):
            self.messages.put(defects.duplicate_key(node, first))
        else:
            frame.keys[node.text] = node
            return node
        return None

    def _count(self, size: int, place: Place) -> None:
        self.count += size
        if self.count > self.limits.nodes:
            self._stop(defects.TOO_MANY_ENTRIES, place, limit=f"{self.limits.nodes:,}")

    def _judge_depth(self, height: int, place: Place) -> None:
        if len(self.open) + height > self.limits.depth:
            self._stop(defects.TOO_DEEP, place, limit=self.limits.depth)

    def _judge_anchor(self, name: str, place: Place) -> None:
        first = self.anchored_at.setdefault(name, place)
        if first is not place:
            self.messages.put(defects.duplicate_anchor(name, place, first))

    def _judge_long_plain(self, event: Any) -> None:
        """Text over several lines without quotes swallows list items that were meant otherwise."""
        lines = self.text[event.start_mark.index : event.end_mark.index].split("\n")
        for number, line in enumerate(lines[1:], event.start_mark.line + 2):
            indent = len(line) - len(line.lstrip(" \t"))
            if "\t" in line[:indent]:
                self._say(defects.TAB_INDENTS, Place(self.file, number, line.index("\t") + 1))
            if line.startswith("- ", indent):
                self._say(defects.ITEM_IN_TEXT, Place(self.file, number, indent + 1))

    def _judge_escapes(self, text: str, place: Place) -> None:
        if bad := defects.CONTROL.search(text):
            self._say(defects.CONTROL_CHARACTER, place, code=f"{ord(bad[0]):04X}")

    def _place(self, event: Any) -> Place:
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _say(self, defect: defects.Defect, place: Place, **words: object) -> None:
        self.messages.put(defect.at(place, **words))

    def _stop(self, defect: defects.Defect, place: Place, **words: object) -> None:
        self._say(defect, place, **words)
        raise StopReadingError


def _written_tag(tag: str) -> str:
    return tag.replace("tag:yaml.org,2002:", "!!")
