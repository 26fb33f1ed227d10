"""The schema as a file, and the first line of each content file that names it to an editor."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from handwheel.desk.whole_files import write_whole
from handwheel.reading.folders import layers
from handwheel.reading.messages import Messages
from handwheel.reading.schema import schema

SCHEMA_FILE = "content.schema.json"
_NAMES_IT = "# yaml-language-server: $schema="


def schema_text() -> str:
    """The schema as it is written."""
    return json.dumps(schema(), indent=1, ensure_ascii=False) + "\n"


def first_line(file: Path, schema_file: Path) -> str:
    """The comment by which an editor finds the schema, relative to the file."""
    return _NAMES_IT + Path(os.path.relpath(schema_file, file.parent)).as_posix()


def with_first_line(text: str, line: str) -> str:
    """The text with this first line, in the place of one that names another schema; all else stays."""
    bom, text = ("\ufeff", text[1:]) if text.startswith("\ufeff") else ("", text)
    first, newline, rest = text.partition("\n")
    if first.startswith(_NAMES_IT):
        return bom + line + ("\r" if first.endswith("\r") else "") + newline + rest
    return bom + line + ("\r\n" if first.endswith("\r") else "\n") + text


def stale(folders: Sequence[Path]) -> Iterator[tuple[Path, str]]:
    """The schema in the first folder, and files of all folders that do not name it, with what they should say."""
    schema_file = folders[0] / SCHEMA_FILE
    if not schema_file.is_file() or schema_file.read_text("utf-8") != schema_text():
        yield schema_file, schema_text()
    for layer in layers(folders, Messages()):
        for file in layer.files:
            with file.path.open(encoding="utf-8", newline="") as opened:
                text = opened.read()
            right = with_first_line(text, first_line(file.path, schema_file))
            if right != text:
                yield file.path, right


def write_schema(folders: Sequence[Path]) -> list[Path]:
    """Write the schema into the first folder, and into each content file the line that names it; what was written."""
    written = list(stale(folders))
    for path, text in written:
        write_whole(path, text)
    return [path for path, _ in written]
