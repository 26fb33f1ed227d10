"""Which files are read: the layers, each a folder of YAML files, the later over the earlier."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from handwheel.reading.messages import Level, Messages
from handwheel.reading.reporters import printable
from handwheel.records.places import Place

_SUFFIXES = (".yaml", ".yml")


@dataclass(frozen=True)
class SourceFile:
    """One file to read."""

    path: Path
    relative: str
    """Its path in the layer, with forward slashes."""
    shown: str
    """The name that messages and places give it: the layer's name, then the path in it."""


@dataclass(frozen=True)
class Layer:
    """One folder of content."""

    name: str
    root: Path
    files: tuple[SourceFile, ...]
    """Sorted by path, whatever order the disk gives them in."""


def layers(folders: Sequence[Path], messages: Messages) -> tuple[Layer, ...]:
    """The folders in the order given, with the YAML files of each."""
    found: list[Layer] = []
    for folder in folders:
        name = _free_name(printable(_resolved(folder).name), {layer.name for layer in found})
        _refuse_overlap(folder, name, found, messages)
        found.append(Layer(name, folder, tuple(_files_of(folder, name, messages))))
    return tuple(found)


def inside(root: Path, relative: str) -> Path | None:
    """The path of a file that content names, or nothing when the name could lead out of the folder.

    Absolute paths, `..`, drive letters, backslashes and links that lead out are refused; whether the file exists is
    not asked.
    """
    if not relative or re.search(r"[\\:\x00-\x1f]", relative):
        return None
    pure = PurePosixPath(relative)
    if pure.is_absolute() or ".." in pure.parts or not pure.parts:
        return None
    path = root.joinpath(*pure.parts)
    return path if _stays_inside(root, path) else None


def _resolved(path: Path) -> Path:
    try:
        return path.resolve()
    except (OSError, RuntimeError, ValueError):
        return path.absolute()


def _free_name(name: str, taken: set[str]) -> str:
    name = name or "root"
    return next(free for n in range(1, len(taken) + 2) if (free := name if n == 1 else f"{name}~{n}") not in taken)


def _refuse_overlap(folder: Path, name: str, others: list[Layer], messages: Messages) -> None:
    here = _resolved(folder)
    for other in others:
        there = _resolved(other.root)
        if here.is_relative_to(there) or there.is_relative_to(here):
            what = f"the folders '{other.name}' and '{name}' are one in the other, so that files would be read twice"
            messages.add("folder-in-folder", Place(name), what, "folders side by side")


def _files_of(root: Path, name: str, messages: Messages) -> list[SourceFile]:
    if not root.is_dir():
        what = f"the folder '{printable(root.as_posix())}' {'is a file' if root.exists() else 'does not exist'}"
        messages.add("missing-folder", Place(name), what, "a folder of YAML files")
        return []
    return sorted(_Walk(root, name, messages).files(), key=lambda file: file.relative)


@dataclass(frozen=True)
class _Walk:
    """Goes through one layer's folders; says what it passes over and why."""

    root: Path
    name: str
    messages: Messages

    def files(self) -> Iterator[SourceFile]:
        """All YAML files of the layer, in no order. A list of what is left, since folders may be nested very deep."""
        left = [self.root]
        while left:
            folder = left.pop()
            try:
                with os.scandir(folder) as entries:
                    for entry in entries:
                        if not entry.name.startswith("."):
                            yield from self._look_at(entry, left)
            except OSError as error:
                why = (error.strerror or "no reason given").lower()
                self._say("unreadable-folder", folder, f"cannot be read: {why}", "a folder that may be read")

    def _look_at(self, entry: os.DirEntry[str], left: list[Path]) -> Iterator[SourceFile]:
        path = Path(entry.path)
        is_yaml = entry.name.lower().endswith(_SUFFIXES)
        if entry.is_symlink():
            self._judge_link(path, is_yaml)
        elif entry.is_dir() and is_yaml:
            self._say(
                "folder-named-as-file", path, "is a folder with a file's name", "a folder's name without an ending"
            )
        elif entry.is_dir():
            left.append(path)
        elif is_yaml and entry.is_file():
            yield SourceFile(path, self._relative(path), self._shown(path))
        elif is_yaml:
            self._say("not-a-file", path, "is not an ordinary file", "a text file with YAML in it")

    def _judge_link(self, path: Path, is_yaml: bool) -> None:
        if not (is_yaml or path.is_dir()):
            return
        right = "the files themselves, in this folder"
        if not _stays_inside(self.root, path):
            self._say("link-leads-out", path, "is a link that leads out of the folder", right)
        elif not path.exists():
            self._say("broken-link", path, "is a link to nothing", right)
        else:
            what = "is a link to what is read under its own name, and is passed over"
            self._say("link-inside", path, what, "no link", level="warning")

    def _say(self, code: str, path: Path, what: str, right: str, level: Level = "error") -> None:
        shown = self._shown(path)
        self.messages.add(code, Place(shown), f"'{shown}' {what}", right, level=level)

    def _relative(self, path: Path) -> str:
        return path.relative_to(self.root).as_posix()

    def _shown(self, path: Path) -> str:
        return f"{self.name}/{printable(self._relative(path))}".removesuffix("/.")


def _stays_inside(root: Path, path: Path) -> bool:
    try:
        return path.resolve().is_relative_to(root.resolve())
    except (OSError, RuntimeError, ValueError):
        return False
