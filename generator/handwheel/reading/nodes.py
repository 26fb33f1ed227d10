"""YAML text -> nodes with places. Knows YAML and nothing else.

Libyaml's events are taken one by one, so that nothing is built before it was counted: an alias is never copied, depth and
number of nodes are judged as they come, and a scalar keeps the text that was written, whatever YAML 1.1 would make of it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml
from yaml import events as ev

from handwheel.reading.messages import Messages, nearest
from handwheel.reading.syntax import say_syntax_error
from handwheel.reading.textfile import MAX_BYTES, read_text
from handwheel.reading.tree import (
    Mapping,
    Node,
    Scalar,
    Sequence,
    Style,
    cut_by_comment,
    is_simple_word,
    looks_like_comma_cut,
    scalars,
)
from handwheel.records.places import Place

__all__ = [
    "Limits",
    "Mapping",
    "Node",
    "Scalar",
    "Sequence",
    "Style",
    "cut_by_comment",
    "is_simple_word",
    "looks_like_comma_cut",
    "read_file",
    "read_text_as_nodes",
    "scalars",
]

_STYLES: dict[str | None, Style] = {None: "plain", "": "plain", "'": "single", '"': "double", "|": "literal", ">": "folded"}
_NULLS = frozenset(("", "~", "null", "Null", "NULL"))
_KEPT_CONTROLS = frozenset("\n\t")


@dataclass(frozen=True)
class Limits:
    """Bounds that no sound file comes near; beyond them a file is refused, never read for long."""

    max_bytes: int = MAX_BYTES
    depth: int = 40
    nodes: int = 400_000
    """Nodes of one file, with every alias counted as often as it stands for something."""


def read_file(path: Path, shown_name: str, messages: Messages, limits: Limits = Limits()) -> Mapping | None:
    """The keys of one file; nothing, and a message, if it cannot be read. Never raises for what was written."""
    text = read_text(path, shown_name, messages, limits.max_bytes)
    return None if text is None else read_text_as_nodes(text, shown_name, messages, limits)


def read_text_as_nodes(text: str, shown_name: str, messages: Messages, limits: Limits = Limits()) -> Mapping | None:
    """The keys of a text."""
    messages.remember(shown_name, text)
    builder = _Builder(text, shown_name, messages, limits)
    try:
        root = builder.build()
    except _StopReading:
        return None
    except yaml.YAMLError as error:
        say_syntax_error(error, text, shown_name, messages)
        return None
    return _keys_of(root, shown_name, messages)


def _keys_of(root: Node | None, shown_name: str, messages: Messages) -> Mapping | None:
    match root:
        case None:
            return Mapping((), Place(shown_name))
        case Mapping():
            return root
        case Scalar(style="null", place=place):
            return Mapping((), place)
    kind = "a list" if isinstance(root, Sequence) else "text"
    messages.add("no-keys", root.place, f"the file holds {kind} where keys are wanted", "a key at the start: 'parts:'")
    return None


class _StopReading(Exception):
    """The rest of this file is not worth a look; a message was left."""


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
    drop: bool = False
    """The value that comes next belongs to a key that was refused."""
    waits_for_key: bool = True
    height: int = 1


@dataclass(frozen=True, slots=True)
class _Anchored:
    node: Node
    size: int
    height: int


class _Builder:
    """Builds one file's nodes; its only state is what is open, what was counted, and what has a name."""

    def __init__(self, text: str, file: str, messages: Messages, limits: Limits) -> None:
        self.text = text
        self.file = file
        self.messages = messages
        self.limits = limits
        self.open: list[_Frame] = []
        self.anchors: dict[str, _Anchored] = {}
        self.count = 0
        self.root: Node | None = None
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
        """The root node of the only document."""
        parser = yaml.CBaseLoader(self.text)
        try:
            while not isinstance(event := parser.get_event(), ev.StreamEndEvent):
                if handle := self.handlers.get(type(event)):
                    handle(event)
        finally:
            parser.dispose()
        return self.root

    def _document(self, event: ev.DocumentStartEvent) -> None:
        if self.root is None:
            return
        right = "one document a file: take the line '---' out or make two files"
        self._say("second-document", self._place(event), "a second document begins here", right)
        raise _StopReading

    def _scalar(self, event: ev.ScalarEvent) -> None:
        start = event.start_mark
        place = Place(self.file, start.line + 1, start.column + 1)
        self._refuse_tag(event, place)
        text: str = event.value
        style = _STYLES[event.style]
        comment = ""
        if style == "plain":
            comment = self._comment_after(event)
            if event.end_mark.line != start.line:
                self._judge_long_plain(event)
            if text in _NULLS:
                text, style = "", "null"
        elif style == "double" and not text.isprintable():
            self._judge_escapes(text, place)
        scalar = Scalar(text, place, style, comment)
        self._count(1, place)
        if event.anchor:
            self.anchors[event.anchor] = _Anchored(scalar, 1, 0)
        self._take(scalar, event.value)

    def _start(self, event: ev.MappingStartEvent | ev.SequenceStartEvent) -> None:
        place = self._place(event)
        self._refuse_tag(event, place)
        self._count(1, place)
        if len(self.open) >= self.limits.depth:
            self._say("too-deep", place, f"this stands more than {self.limits.depth} levels deep", "fewer levels")
            raise _StopReading
        if event.anchor:
            self.anchors.pop(event.anchor, None)
        mapping = isinstance(event, ev.MappingStartEvent)
        self.open.append(_Frame(place, mapping, event.anchor, self.count - 1))

    def _end(self, _: ev.CollectionEndEvent) -> None:
        frame = self.open.pop()
        items = tuple(frame.items)
        node: Node = Mapping(items, frame.place) if frame.mapping else Sequence(items, frame.place)
        if frame.anchor:
            self.anchors[frame.anchor] = _Anchored(node, self.count - frame.counted, frame.height)
        self._take(node, "", frame.height)

    def _alias(self, event: ev.AliasEvent) -> None:
        place = self._place(event)
        name: str = event.anchor
        known = self.anchors.get(name)
        if any(frame.anchor == name for frame in self.open):
            self._say(
                "recursive-alias", place, f"'*{name}' stands inside the '&{name}' that it repeats", "the text itself"
            )
            known = None
        elif known is None:
            near = nearest(name, self.anchors)
            right = f"did you mean '*{near}'?" if near else f"'&{name}' before the first thing that is to be repeated"
            self._say("unknown-alias", place, f"'*{name}' repeats what nothing above names '&{name}'", right)
        if known is None:
            self._take(Scalar("", place, "null"), f"*{name}")
            return
        self._count(known.size, place)
        if len(self.open) + known.height > self.limits.depth:
            self._say(
                "too-deep", place, f"with '*{name}' this goes more than {self.limits.depth} levels deep", "fewer levels"
            )
            raise _StopReading
        self._take(known.node, f"*{name}", known.height)

    def _take(self, node: Node, written: str, height: int = 0) -> None:
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
            self._take_key(frame, node, written)
        else:
            frame.waits_for_key = True
            if frame.key is not None:
                frame.items.append((frame.key, node))

    def _take_key(self, frame: _Frame, node: Node, written: str) -> None:
        frame.waits_for_key = False
        frame.key = None
        if not isinstance(node, Scalar) or written.startswith("*") and node.style != "plain":
            self._say(
                "key-is-no-word", node.place, "a list or a map stands where a key is wanted", "a word, then a colon"
            )
        elif node.is_null:
            self._say("empty-key", node.place, f"'{written}' stands where a key is wanted", "a word, then a colon")
        elif node.text == "<<" and node.style == "plain":
            right = "the keys written out, or a shared step or list that is named where it is used"
            self._say("merge-key", node.place, "'<<' would copy keys in from elsewhere", right)
        elif first := frame.keys.get(node.text):
            related = ((first.place, "it stands here first"),)
            what = f"the key '{node.text}' stands twice in one place"
            self.messages.add("duplicate-key", node.place, what, "each key once", related=related)
        else:
            frame.keys[node.text] = frame.key = node

    def _count(self, size: int, place: Place) -> None:
        self.count += size
        if self.count > self.limits.nodes:
            what = f"the file holds more than {self.limits.nodes:,} entries, repeats by '*' counted"
            self._say("too-many-entries", place, what, "several smaller files, and fewer repeats")
            raise _StopReading

    def _comment_after(self, event: ev.ScalarEvent) -> str:
        end = event.end_mark.index
        if self.text[end : end + 1] not in (" ", "\t"):
            return ""
        rest = self.text[end : self._line_end(end)].strip()
        return rest if rest.startswith("#") else ""

    def _line_end(self, index: int) -> int:
        end = self.text.find("\n", index)
        return len(self.text) if end < 0 else end

    def _judge_long_plain(self, event: ev.ScalarEvent) -> None:
        """Text over several lines without quotes swallows list items and tabs that were meant otherwise."""
        lines = self.text[event.start_mark.index : event.end_mark.index].split("\n")
        for number, line in enumerate(lines[1:], event.start_mark.line + 2):
            indent = len(line) - len(line.lstrip(" \t"))
            if "\t" in line[:indent]:
                place = Place(self.file, number, line.index("\t") + 1)
                self._say("tab-indents", place, "a tab stands where the line is indented", "spaces")
            if line[indent:].startswith("- "):
                what = "this list item is read as part of the text above it"
                self._say(
                    "item-in-text",
                    Place(self.file, number, indent + 1),
                    what,
                    "the text above in quotes, or no text there",
                )

    def _judge_escapes(self, text: str, place: Place) -> None:
        bad = next((c for c in text if c not in _KEPT_CONTROLS and _is_control(c)), "")
        if bad:
            self._say(
                "control-character", place, f"the text holds the character U+{ord(bad):04X}", "the text without it"
            )

    def _refuse_tag(self, event: ev.NodeEvent, place: Place) -> None:
        if event.tag:
            what = f"'{_written_tag(event.tag)}' gives a type, and what is written here is always text"
            self._say("tag", place, what, "the text without it; in quotes if it begins with '!'")

    def _place(self, event: ev.Event) -> Place:
        return Place(self.file, event.start_mark.line + 1, event.start_mark.column + 1)

    def _say(self, code: str, place: Place, what: str, right: str) -> None:
        self.messages.add(code, place, what, right)


def _is_control(character: str) -> bool:
    code = ord(character)
    return code < 0x20 or 0x7F <= code < 0xA0 or code in (0x2028, 0x2029, 0xFEFF)


def _written_tag(tag: str) -> str:
    return tag.replace("tag:yaml.org,2002:", "!!")
