"""Nodes -> plain data, as an editor sees a file: YAML 1.2.2, core schema (section 10.3)."""

from __future__ import annotations

import re
from typing import Any

from handwheel.reading.messages import Messages
from handwheel.reading.nodes import read_text_as_nodes
from handwheel.reading.tree import Mapping, Node, Scalar, Sequence

_WHOLE = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
_DECIMAL = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_TRUTHS = {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}


def plain(node: Node) -> Any:
    """Maps, lists, texts, numbers, true, false and nothing."""
    match node:
        case Mapping(entries):
            return {key.text: plain(value) for key, value in entries}
        case Sequence(items):
            return [plain(item) for item in items]
        case Scalar(style="null"):
            return None
        case Scalar(text, style="plain"):
            return _resolved(text)
        case Scalar(text):
            return text


def _resolved(text: str) -> Any:
    if text in _TRUTHS:
        return _TRUTHS[text]
    if _WHOLE.fullmatch(text):
        return int(text, 0) if text[:2] in ("0o", "0x") else int(text)
    return float(text) if _DECIMAL.fullmatch(text) else text


def plain_value(text: str) -> Any:
    """A value written in YAML, as plain data.

    >>> plain_value("{from: 1934, to: 1939}"), plain_value('"12:10"'), plain_value("off")
    ({'from': 1934, 'to': 1939}, '12:10', 'off')
    """
    root = read_text_as_nodes(f"value: {text}", "value", Messages())
    return None if root is None or (value := root.get("value")) is None else plain(value)
