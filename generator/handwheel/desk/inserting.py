"""Puts lines into a YAML text at the right place. Every byte that was there stays, comments and layout with them."""

from __future__ import annotations

import re
from collections.abc import Mapping as Map
from typing import Any

from handwheel.desk.writing import Value, flow, item_lines, record_lines
from handwheel.reading.messages import Messages
from handwheel.reading.nodes import read_text_as_nodes
from handwheel.reading.plain import plain, plain_value
from handwheel.reading.reporters import as_text
from handwheel.reading.tree import Mapping, Node, Scalar, Sequence
from handwheel.records.errors import HandwheelError

INDENT = 2


class CannotInsert(HandwheelError):  # noqa: N818 - named for what is wrong with the text
    """The place is written in a way that nothing can be put into; the message says how to change that."""


def with_record(text: str, plural: str, identifier: str, keys: Map[str, Value]) -> str:
    """The text with a record more, as the last of its kind."""
    root = _root(text)
    section = root.get(plural)
    if section is None:
        gap = [""] if text.strip() and not _lines(text)[-1].startswith("#") else []
        lines = [*gap, f"{plural}:", *record_lines(identifier, keys, INDENT)]
        made = _put(text, len(_lines(text)), lines)
    else:
        indent = _indent_of(text, section, f"'{plural}:'", "{")
        made = _put(text, _end(text, [(root, plural)], indent), [*record_lines(identifier, keys, indent)])
    _judge_record(root, made, plural, identifier, keys)
    return made


def with_step(text: str, procedure: str, keys: Map[str, Value], after: str = "") -> str:
    """The text with a step more, as the last of a procedure or after one that has an id."""
    root = _root(text)
    steps, way = _steps(root, procedure)
    indent = _indent_of(text, steps, f"'steps:' of '{procedure}'", "[")
    if after:
        number = _number_of(steps, after, procedure)
        way.append((steps, number))
    else:
        number = len(steps.items) - 1
    made = _put(text, _end(text, way, indent), [*item_lines(keys, indent)])
    _judge_step(root, made, procedure, number + 1, keys)
    return made


def _lines(text: str) -> list[str]:
    """The lines with their ends, as places count them."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)


def _root(text: str) -> Mapping:
    messages = Messages()
    root = read_text_as_nodes(text, "the file", messages)
    if root is None:
        raise CannotInsert(as_text(messages).strip())
    return root


def _steps(root: Mapping, procedure: str) -> tuple[Sequence, list[tuple[Mapping | Sequence, str | int]]]:
    procedures = root.get("procedures")
    body = procedures.get(procedure) if isinstance(procedures, Mapping) else None
    steps = body.get("steps") if isinstance(body, Mapping) else None
    if not isinstance(procedures, Mapping) or not isinstance(body, Mapping) or not isinstance(steps, Sequence):
        raise CannotInsert(f"the steps of '{procedure}' are no list; write them as '- do: ..', one a line, first")
    return steps, [(root, "procedures"), (procedures, procedure), (body, "steps")]


def _number_of(steps: Sequence, identifier: str, procedure: str) -> int:
    ids = [item.get("id") if isinstance(item, Mapping) else None for item in steps.items]
    names = [node.text if isinstance(node, Scalar) else "" for node in ids]
    if identifier not in names:
        known = ", ".join(f"'{name}'" for name in names if name) or "none has an id"
        raise CannotInsert(f"no step of '{procedure}' outside its alternatives has the id '{identifier}'; ids: {known}")
    return names.index(identifier)


def _indent_of(text: str, node: Node, name: str, bracket: str) -> int:
    """Columns before the entries of a map or list."""
    if isinstance(node, Scalar) and node.is_null:
        return INDENT
    if not isinstance(node, Mapping | Sequence):
        raise CannotInsert(f"{name} holds a text; nothing can be put under it")
    line = _lines(text)[node.place.line - 1]
    if line[node.place.column - 1 :][:1] == bracket:
        raise CannotInsert(f"what stands under {name} is in brackets; write it line by line first")
    return node.place.column - 1


def _end(text: str, way: list[tuple[Mapping | Sequence, str | int]], indent: int) -> int:
    """Lines before the place right after a node; comments and blank lines that lead to what follows stay with it."""
    lines = _lines(text)
    end = next((line for line in map(_next_line, reversed(way)) if line), len(lines) + 1) - 1
    further_in = indent + bool(_next_line(way[-1]) and isinstance(way[-1][1], int))
    while end and _leads_on(lines[end - 1], further_in):
        end -= 1
    return end


def _next_line(step: tuple[Mapping | Sequence, str | int]) -> int:
    """The line on which the next entry beside a node begins; 0: it is the last."""
    holder, name = step
    if isinstance(holder, Mapping):
        keys = [key for key, _ in holder.entries]
        at = next(number for number, key in enumerate(keys) if key.text == name)
        return keys[at + 1].place.line if at + 1 < len(keys) else 0
    assert isinstance(name, int)
    return holder.items[name + 1].place.line if name + 1 < len(holder.items) else 0


def _leads_on(line: str, indent: int) -> bool:
    bare = line.strip()
    if not bare or line.rstrip() == "...":
        return True
    return bare.startswith("#") and len(line) - len(line.lstrip()) < max(indent, 1)


def _put(text: str, at: int, lines: list[str]) -> str:
    kept = _lines(text)
    newline = "\r\n" if kept and kept[0].endswith("\r\n") else "\n"
    before, after = "".join(kept[:at]), "".join(kept[at:])
    gap = newline if before and not before.endswith("\n") else ""
    return before + gap + "".join(line + newline for line in lines) + after


def _judge_record(root: Mapping, made: str, plural: str, identifier: str, keys: Map[str, Value]) -> None:
    """What was read before must be read again, with the record and nothing else besides."""
    wanted = plain(root)
    wanted[plural] = (wanted.get(plural) or {}) | {identifier: _as_read(keys)}
    if _bare(plain(_root(made))) != _bare(wanted):
        raise CannotInsert(f"the {plural} are written in a way that nothing can be put in; add it by hand")


def _judge_step(root: Mapping, made: str, procedure: str, number: int, keys: Map[str, Value]) -> None:
    wanted = plain(root)
    wanted["procedures"][procedure]["steps"].insert(number, _as_read(keys))
    if plain(_root(made)) != wanted:
        raise CannotInsert(
            f"the steps of '{procedure}' are written in a way that nothing can be put in; add it by hand"
        )


def _bare(data: Any) -> Any:
    """Without blank ends of texts: those of a text in a block hang on the lines after it, and say nothing."""
    if isinstance(data, dict):
        return {key: _bare(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_bare(value) for value in data]
    return data.strip() if isinstance(data, str) else data


def _as_read(keys: Map[str, Value]) -> object:
    return plain_value(flow(keys))
