"""Which files are read: the layers, each a folder of YAML files, the later over the earlier."""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from handwheel.reading.messages import Messages
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
        name = _free_name(shown(folder.resolve().name), {layer.name for layer in found})
        found.append(Layer(name, folder, tuple(_files_of(folder, name, messages))))
    return tuple(found)


def inside(root: Path, relative: str) -> Path | None:
    """The path of a file that content names, or nothing when the name could lead out of the folder.

    Absolute paths, `..`, drive letters, backslashes and links that lead out are refused; whether the file exists is not asked.
    """
    if not relative or re.search(r"[\\:\x00-\x1f]", relative):
        return None
    pure = PurePosixPath(relative)
    if pure.is_absolute() or ".." in pure.parts or not pure.parts:
        return None
    path = root.joinpath(*pure.parts)
    return path if _stays_inside(root, path) else None


def shown(name: str) -> str:
    """A file's name as it may be printed: what does not print, or turns the direction of writing, as an escape."""
    return "".join(_escaped(character) for character in name)


def _escaped(character: str) -> str:
    if unicodedata.category(character)[0] != "C" and unicodedata.category(character) not in ("Zl", "Zp"):
        return character
    return character.encode("unicode_escape", "surrogatepass").decode("ascii")


def _free_name(name: str, taken: set[str]) -> str:
    name = name or "root"
    return next(free for n in range(1, len(taken) + 2) if (free := name if n == 1 else f"{name}~{n}") not in taken)


def _files_of(root: Path, name: str, messages: Messages) -> list[SourceFile]:
    if not root.is_dir():
        what = "is not a folder" if root.exists() else "does not exist"
        messages.add(
            "missing-folder", Place(name), f"the folder '{shown(root.as_posix())}' {what}", "a folder of YAML files"
        )
        return []
    walk = _Walk(root, name, messages)
    return sorted(walk.files(root), key=lambda file: file.relative)


@dataclass(frozen=True)
class _Walk:
    """Goes through one layer's folders; says what it passes over and why."""

    root: Path
    name: str
    messages: Messages

    def files(self, folder: Path) -> Iterator[SourceFile]:
        """All YAML files under a folder, in no order."""
        try:
            with os.scandir(folder) as entries:
                here = list(entries)
        except OSError as error:
            self._say(
                "unreadable-folder",
                folder,
                f"cannot be read: {(error.strerror or 'unknown').lower()}",
                "a folder that may be read",
            )
            return
        for entry in here:
            if not entry.name.startswith("."):
                yield from self._look_at(entry)

    def _look_at(self, entry: os.DirEntry[str]) -> Iterator[SourceFile]:
        path = Path(entry.path)
        is_yaml = entry.name.lower().endswith(_SUFFIXES)
        if entry.is_symlink():
            self._judge_link(path, is_yaml)
        elif entry.is_dir():
            if is_yaml:
                self._say(
                    "folder-named-as-file", path, "is a folder with a file's name", "a folder's name without '.yaml'"
                )
            else:
                yield from self.files(path)
        elif is_yaml and entry.is_file():
            yield SourceFile(path, self._relative(path), self._shown(path))
        elif is_yaml:
            self._say("not-a-file", path, "is not an ordinary file", "a text file with YAML in it")

    def _judge_link(self, path: Path, is_yaml: bool) -> None:
        if not (is_yaml or path.is_dir()):
            return
        if not _stays_inside(self.root, path):
            self._say(
                "link-leads-out", path, "is a link that leads out of the folder", "the file itself, in this folder"
            )
        elif not path.exists():
            self._say("broken-link", path, "is a link to nothing", "the file itself, in this folder")
        else:
            what = "is a link to what is read under its own name, and is passed over"
            self.messages.add(
                "link-inside", Place(self._shown(path)), f"'{self._shown(path)}' {what}", "no link", level="warning"
            )

    def _say(self, code: str, path: Path, what: str, right: str) -> None:
        self.messages.add(code, Place(self._shown(path)), f"'{self._shown(path)}' {what}", right)

    def _relative(self, path: Path) -> str:
        return path.relative_to(self.root).as_posix()

    def _shown(self, path: Path) -> str:
        return f"{self.name}/{shown(self._relative(path))}".removesuffix("/.")


def _stays_inside(root: Path, path: Path) -> bool:
    try:
        return path.resolve().is_relative_to(root.resolve())
    except (OSError, RuntimeError, ValueError):
        return False
