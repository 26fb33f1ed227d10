"""Adds a record or a step to a shop's files; the shop is read again before anything is changed."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from handwheel.desk.inserting import with_record, with_step
from handwheel.desk.schema_files import SCHEMA_FILE, first_line
from handwheel.desk.whole_files import write_whole
from handwheel.desk.writing import Raw, Value
from handwheel.reading.folders import layers
from handwheel.reading.layering import REPLACES, id_like, is_id
from handwheel.reading.load import load
from handwheel.reading.messages import Messages, nearest
from handwheel.reading.plain import plain_value
from handwheel.reading.shipped import folders_of
from handwheel.records import shapes as s
from handwheel.records.errors import HandwheelError
from handwheel.records.kinds import KINDS, Kind, keys_of
from handwheel.records.library import Library
from handwheel.records.shapes import Key
from handwheel.records.step_records import Step

FILES = {
    "families": "machines.yaml",
    "variants": "machines.yaml",
    "groups": "machines.yaml",
    "features": "machines.yaml",
    "markings": "machines.yaml",
    "procedures": "work.yaml",
    "jobs": "work.yaml",
    "sources": "shop.yaml",
    "shops": "shop.yaml",
}
"""Where the first record of a kind goes, if not into `parts.yaml`."""
_TEXTS = (s.Words, s.Prose)
ALSO = {"screw": "fasteners"}
"""Other words for a kind."""


@dataclass(frozen=True)
class Added:
    """What was added, and where it stands now."""

    name: str
    file: Path
    line: int


@dataclass(frozen=True)
class Shop:
    """A shop's folder as it is before something is added."""

    folder: Path
    library: Library
    base: Path | None = None
    """The library that it is layered over, where it is not the one shipped."""
    files: Mapping[str, Path] = field(default_factory=dict)
    """Name that messages give a file -> the file."""


def open_shop(folder: Path, base: Path | None = None) -> Shop:
    """Read a shop; it must load, so that what goes wrong afterwards is what was added."""
    folders = folders_of(folder, base)
    library = load(folders)
    layer = layers(folders, Messages())[-1]
    return Shop(folder, library, base, {file.shown: file.path for file in layer.files})


def kind_of(word: str) -> Kind | None:
    """The kind that a word names: `part`, `parts`, `oiling-point`, `screw`."""
    plain = word.replace("-", " ").replace("_", " ")
    if plain in ALSO:
        return KINDS[ALSO[plain]]
    named = (kind for kind in KINDS.values() if plain in (kind.singular, kind.plural.replace("_", " ")))
    return next(named, None)


def keys(kind: Kind | None) -> dict[str, Key]:
    """Keys of a kind as written; of a step where there is none."""
    return {name: described for name, (_, described) in keys_of(kind.cls if kind else Step).items()}


def values(known: Mapping[str, Key], given: Mapping[str, Sequence[str]]) -> dict[str, Value]:
    """What was given for each key -> values; texts are quoted where they must be, all else is YAML already."""
    return {name: _value(described.shape, given[name]) for name, described in known.items() if given.get(name)}


def _value(shape: s.Shape, given: Sequence[str]) -> Value:
    if isinstance(shape, s.Many):
        return [_value(shape.item, [each]) for each in given] if len(given) > 1 else _value(shape.item, given)
    inner = shape.item if isinstance(shape, s.Varying) else shape
    if isinstance(inner, _TEXTS):
        return " ".join(given)
    if len(given) > 1:
        raise HandwheelError(f"'{given[-1]}': only one value can be given here")
    if any(not character.isprintable() for character in given[0]):
        raise HandwheelError(f"{given[0]!r}: a value stands on one line")
    if plain_value(given[0]) is None:
        raise HandwheelError(f"'{given[0]}' is no value in YAML; such as a word, [a, list], or {{a: map}}")
    return Raw(given[0])


def add_record(shop: Shop, kind: Kind, identifier: str, given: Mapping[str, Value], file: str = "") -> Added:
    """Add a record.

    Raises:
        HandwheelError: the id cannot be one or is taken, or the shop would not load with it; nothing is changed.
    """
    _judge_id(shop, kind, identifier, REPLACES in given)
    if not given:
        raise HandwheelError(f"nothing is said of {kind.singular} '{identifier}'; such as --{next(iter(keys(kind)))}")
    path = _file_for(shop, kind, given, file)
    made = with_record(text_of(path, shop.folder), kind.plural, identifier, given)
    library = tried(shop, path, made)
    write_whole(path, made)
    return Added(f"{kind.singular} '{identifier}'", path, library.of(kind.plural)[identifier].place.line)


def add_step(shop: Shop, procedure: str, given: Mapping[str, Value], after: str = "") -> Added:
    """Add a step to a procedure of the shop's own, as the last or after one that has an id."""
    known = shop.library.procedures.get(procedure)
    if known is None:
        near = nearest(procedure, shop.library.procedures)
        raise HandwheelError(f"no procedure has the id '{procedure}'" + (f"; did you mean '{near}'?" if near else ""))
    path = shop.files.get(known.place.file)
    if path is None:
        raise HandwheelError(
            f"procedure '{procedure}' is the library's ({known.place}); use it, or write one of your own"
        )
    text = text_of(path, shop.folder)
    made = with_step(text, procedure, given, after)
    tried(shop, path, made)
    write_whole(path, made)
    return Added(f"a step of '{procedure}'", path, _first_difference(text, made))


def _first_difference(before: str, after: str) -> int:
    lines = zip(before.split("\n"), after.split("\n"), strict=False)
    return next((number for number, (a, b) in enumerate(lines, 1) if a != b), before.count("\n") + 1)


def _judge_id(shop: Shop, kind: Kind, identifier: str, replaces: bool) -> None:
    if not is_id(identifier):
        near = id_like(identifier)
        raise HandwheelError(f"'{identifier}' cannot be an id; right: {near or 'small letters, digits and -'}")
    taken = shop.library.of(kind.plural).get(identifier)
    if taken is None:
        return
    mine = taken.place.file in shop.files
    if replaces and not mine:
        return
    way = "take another id" if mine else "take another id, or replace it with --replaces"
    raise HandwheelError(f"{kind.singular} '{identifier}' is there already, at {taken.place}; {way}")


def _file_for(shop: Shop, kind: Kind, given: Mapping[str, Value], file: str) -> Path:
    """The file that was named, else that of the last record most like it, else the usual one."""
    if file:
        return _inside(shop.folder, file)
    own = [record for record in shop.library.of(kind.plural).values() if record.place.file in shop.files]
    family = given.get("family")
    alike = [record for record in own if family and getattr(record, "family", None) == family]
    if own:
        return shop.files[(alike or own)[-1].place.file]
    return shop.folder / FILES.get(kind.plural, "parts.yaml")


def _inside(folder: Path, file: str) -> Path:
    path = folder / file
    if not path.resolve().is_relative_to(folder.resolve()) or path.suffix not in (".yaml", ".yml"):
        raise HandwheelError(f"'{file}' is no YAML file in {folder}; name one such as winder.yaml")
    if not path.parent.is_dir():
        raise HandwheelError(f"the folder of '{file}' does not exist in {folder}")
    return path


def text_of(path: Path, folder: Path) -> str:
    """The text of a file of the shop; of a new one, the line that names the schema."""
    if path.exists():
        with path.open(encoding="utf-8", newline="") as opened:
            return opened.read()
    schema_file = folder / SCHEMA_FILE
    return first_line(path, schema_file) + "\n" if schema_file.is_file() else ""


def tried(shop: Shop, path: Path, text: str) -> Library:
    """The shop as it would be, read in a copy of its YAML files; raises what is wrong with it."""
    with tempfile.TemporaryDirectory() as place:
        copy = Path(place, shop.folder.resolve().name)
        copy.mkdir()
        for known in shop.files.values():
            _copied(known, copy / known.relative_to(shop.folder))
        target = copy / path.relative_to(shop.folder)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(text.encode("utf-8"))
        return load(folders_of(copy, shop.base))


def _copied(file: Path, to: Path) -> None:
    to.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(file, to)
