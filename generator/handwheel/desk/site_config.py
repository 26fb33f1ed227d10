"""The `mkdocs.yml` beside a shop, judged before any other work: each mistake with its line and what would be right.

What a key may hold is MkDocs' own judgement; here it is given a place and words.
"""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from handwheel.pages.mkdocs_adapter import ConfigFault, KnownNames, config_faults, known_names
from handwheel.reading.messages import Message, Messages, nearest
from handwheel.reading.outline import Outline, outline_of
from handwheel.reading.textfile import has_sound_characters, read_text
from handwheel.records.places import Place

CODE = "site-config"
_MOST_BYTES = 1_000_000
_PLUGIN = re.compile(r"Plugin '(?P<plugin>[^']+)' option '(?P<option>[^']+)': (?P<said>.*)", re.DOTALL)
_NO_FOLDER = re.compile(r"The path '(?P<path>[^']+)' isn't an existing (?P<what>directory|file)")
_UNKNOWN, _LACKING = "Unrecognised configuration name", "Required configuration"
_QUOTED = re.compile(r"['\"]([^'\"]+)['\"]")
_RIGHT = {
    "site_name": "a line such as 'site_name: Bench notes'",
    "site_url": "a whole address, such as https://notes.example.org/bench/",
    "use_directory_urls": "false",
    "dev_addr": "a host and a port, such as 127.0.0.1:8000",
}
_TYPES = {"list": "a list", "dict": "keys with values", "str": "text", "bool": "true or false", "int": "a number"}


@dataclass(frozen=True)
class _File:
    """A configuration as it is written."""

    path: Path
    outline: Outline
    names: KnownNames

    def place(self, *keys: str) -> Place:
        """Where the innermost of these keys stands that is there."""
        return self.outline.place(*keys)


def judge_config(path: Path, messages: Messages) -> None:
    """Say all that is wrong with a configuration."""
    shown = Path(os.path.relpath(path)).as_posix()
    shown = path.as_posix() if shown.startswith("..") else shown
    text = read_text(path, shown, messages, _MOST_BYTES)
    if text is None:
        return
    messages.remember(shown, text)
    if not has_sound_characters(text, shown, messages):
        return
    outline = outline_of(text, shown, messages)
    if outline is None:
        return
    if not outline.has_keys:
        messages.add(CODE, Place(shown), "there are no keys in it", _RIGHT["site_name"])
        return
    for message in _judged(_File(path, outline, known_names())):
        messages.put(message)


def _judged(file: _File) -> Iterator[Message]:
    for place, key, first in file.outline.twice():
        yield Message(CODE, place, f"'{key}' stands twice", "one of the two", related=((first, "the first"),))
    said = list(config_faults(file.path))
    meant = {nearest(each.key, file.names.keys) for each in said if _UNKNOWN in each.said}
    yield from (_message(file, each) for each in said if each.key not in meant or _UNKNOWN in each.said)
    if not said and not file.outline.has("plugins", "handwheel") and not file.outline.has("INHERIT"):
        what = "the plugin 'handwheel' is not in it, so no page would be made"
        yield Message(CODE, file.place("plugins"), what, "'- handwheel: {shop: shop}' under 'plugins:'")


def _message(file: _File, fault: ConfigFault) -> Message:
    if option := _PLUGIN.match(fault.said):
        place = file.place("plugins", option["plugin"], option["option"])
        known = file.names.options if option["plugin"] == "handwheel" else ()
        return Message(CODE, place, *_words(file, option["option"], option["said"], known))
    inner = _QUOTED.findall(fault.said)
    keys = (fault.key, "name") if fault.key == "theme" else (fault.key, *inner[:1], *inner[-1:])
    return Message(CODE, file.place(*keys), *_words(file, fault.key, fault.said, file.names.keys))


def _words(file: _File, key: str, said: str, known: Collection[str]) -> tuple[str, str]:
    """What is wrong and what would be right."""
    if _UNKNOWN in said:
        return f"'{key}' is no key of it", _near(key, known)
    if _LACKING in said:
        return f"'{key}' is missing", _RIGHT.get(key, "")
    if missing := _NO_FOLDER.search(said):
        return _missing(file, key, Path(missing["path"]), missing["what"])
    quoted = _QUOTED.search(said)
    if "plugin is not installed" in said and quoted:
        return f"no plugin is called '{quoted[1]}'", _near(quoted[1], file.names.plugins)
    if "Unrecognised theme" in said and quoted:
        return f"no theme is called '{quoted[1]}'", _near(quoted[1], file.names.themes)
    if "Failed to load extension" in said and quoted:
        return _extension(quoted[1], said.strip().splitlines()[-1], file.names.extensions)
    if typed := re.search(r"Expected type: <class '(\w+)'>", said):
        return f"'{key}' has a value of the wrong kind", _RIGHT.get(key) or _TYPES.get(typed[1], typed[1])
    first, last = said.strip().splitlines()[0], said.strip().splitlines()[-1]
    told = first if first == last else f"{first.rstrip('.')} ({last.strip()})"
    return f"'{key}': {told}", _RIGHT.get(key, "")


def _extension(name: str, error: str, known: Collection[str]) -> tuple[str, str]:
    option = _QUOTED.search(error)
    if error.startswith("KeyError") and option:
        return f"the extension '{name}' has no option '{option[1]}'", ""
    if error.startswith("ModuleNotFoundError"):
        return f"no extension is called '{name}'", _near(name, known)
    return f"the extension '{name}' cannot be used ({error})", ""


def _missing(file: _File, key: str, path: Path, what: str) -> tuple[str, str]:
    kind = "folder" if what == "directory" else what
    beside = [each.name for each in path.parent.iterdir()] if path.parent.is_dir() else []
    shown = os.path.relpath(path, file.path.parent)
    fit = [each for each in beside if (path.parent / each).is_dir() == (kind == "folder") and not each.startswith(".")]
    return f"'{key}' names the {kind} '{shown}', which is not there", _near(path.name, fit)


def _near(name: str, known: Collection[str]) -> str:
    near = nearest(name, known)
    if near:
        return f"did you mean '{near}'?"
    return "one of: " + ", ".join(sorted(known)) if 0 < len(known) <= 8 else ""
