"""YAML files -> nodes with places: the one way in. Nothing here, or below it in this room, knows what the keys mean."""

from __future__ import annotations

from pathlib import Path

import yaml

from handwheel.reading import defects
from handwheel.reading.building import Builder, Limits, StopReadingError, paused_collector
from handwheel.reading.messages import Messages
from handwheel.reading.syntax import syntax_message
from handwheel.reading.textfile import has_sound_characters, read_text
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


def read_file(path: Path, shown_name: str, messages: Messages, limits: Limits = Limits()) -> Mapping | None:
    """The keys of one file; nothing, and a message, if it cannot be read. Never raises for what was written."""
    text = read_text(path, shown_name, messages, limits.max_bytes)
    return None if text is None else read_text_as_nodes(text, shown_name, messages, limits)


def read_text_as_nodes(text: str, shown_name: str, messages: Messages, limits: Limits = Limits()) -> Mapping | None:
    """The keys of a text; an empty one has none."""
    messages.remember(shown_name, text)
    if not has_sound_characters(text, shown_name, messages):
        return None
    builder = Builder(text, shown_name, messages, limits)
    try:
        with paused_collector():
            root = builder.build()
    except StopReadingError:
        return None
    except yaml.YAMLError as error:
        messages.put(syntax_message(error, text, shown_name, builder.last))
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
        case Scalar() if defects.is_word_colon_text(root):
            spaced = root.text.replace(":", ": ", 1)
            messages.put(defects.NO_SPACE_AFTER_COLON.at(root.place, text=root.text, spaced=spaced))
        case Scalar() | Sequence():
            kind = "a list" if isinstance(root, Sequence) else "text"
            messages.put(defects.NO_KEYS.at(root.place, kind=kind))
    return None
