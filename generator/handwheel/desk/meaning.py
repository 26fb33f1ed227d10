"""One sense of a word, and its form in text and as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any

_MOST = 12
"""Users told of in text; as data all are there."""


@dataclass(frozen=True)
class User:
    """Who uses it: kind, id and place."""

    kind: str
    id: str
    place: str


@dataclass(frozen=True)
class Machines:
    """For which machines it holds, as they left the works."""

    words: str
    always: tuple[str, ...] = ()
    """Variants of which every machine has it."""
    sometimes: tuple[str, ...] = ()
    """Variants of which it hangs on what is found."""
    never: tuple[str, ...] = ()


@dataclass(frozen=True)
class Meaning:
    """One sense of a word."""

    what: str
    name: str = ""
    about: str = ""
    place: str = ""
    said: tuple[tuple[str, str], ...] = ()
    users: tuple[User, ...] = ()
    machines: Machines | None = None


def as_data(meaning: Meaning) -> dict[str, Any]:
    """For machines: every field, in the order declared."""
    return asdict(meaning) | {"said": [{"key": key, "text": text} for key, text in meaning.said]}


def as_lines(meaning: Meaning) -> Iterator[str]:
    """For people."""
    yield meaning.what + (f": {meaning.name}" if meaning.name else "")
    if meaning.about:
        yield f"  {meaning.about}"
    if meaning.place:
        yield f"  at {meaning.place}"
    for key, text in meaning.said:
        lines = text.rstrip("\n").split("\n")
        yield f"  {key}: {lines[0]}" if len(lines) == 1 else f"  {key}:"
        yield from (f"    {line}".rstrip() for line in lines if len(lines) > 1)
    if meaning.machines:
        yield from _machine_lines(meaning.machines)
    yield from _user_lines(meaning)


def _machine_lines(machines: Machines) -> Iterator[str]:
    yield f"  holds for: {machines.words}"
    for word, variants in (("always", machines.always), ("depends", machines.sometimes), ("never", machines.never)):
        if variants:
            yield f"    {word}, as built: {', '.join(variants)}"


def _user_lines(meaning: Meaning) -> Iterator[str]:
    if not meaning.users:
        return
    yield "  used by:"
    for user in meaning.users[:_MOST]:
        yield f"    {user.kind} '{user.id}' at {user.place}"
    if len(meaning.users) > _MOST:
        yield f"    and {len(meaning.users) - _MOST} more; --json lists them all"
