"""Talk: to standard error, so that standard output carries data only."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable

from handwheel.reading.load import load, read_library
from handwheel.reading.messages import Messages, nearest
from handwheel.reading.reporters import as_annotations, as_json, as_text
from handwheel.reading.shipped import folders_of
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library

FORMS = ("text", "json", "annotations")


def say(text: str) -> None:
    """One line of talk."""
    print(text, file=sys.stderr)


def open_library(options: argparse.Namespace) -> tuple[Library | None, Messages]:
    """The library that the options name, with every message of reading it."""
    messages = Messages()
    return read_library(folders_of(options.shop, options.library), messages), messages


def library_of(options: argparse.Namespace) -> Library:
    """The library that the options name.

    Raises:
        InputErrors: what was written cannot be used.
    """
    return load(folders_of(options.shop, options.library))


def tell(messages: Messages, form: str, folder: str = "") -> None:
    """All messages in one form: text for people to standard error, data to standard output."""
    if form == "json":
        print(as_json(messages))
    elif form == "annotations":
        print(as_annotations(messages, folder), end="")
    elif len(messages):
        say(as_text(messages).rstrip())


def known_id(what: str, identifier: str, known: Iterable[str]) -> None:
    """Raise a `HandwheelError` with the nearest right id where there is no such one."""
    if identifier not in known:
        near = nearest(identifier, known)
        hint = f"did you mean '{near}'?" if near else "one of: " + ", ".join(known)
        raise HandwheelError(f"no {what} has the id '{identifier}'; {hint}")
