"""How one machine stands on the bench at one moment, as sets of names."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass
class OneState:
    off: set[str] = field(default_factory=set)
    loose: set[str] = field(default_factory=set)
    out: set[str] = field(default_factory=set)
    lost: set[str] = field(default_factory=set)
    marked: set[str] = field(default_factory=set)
    dry: set[str] = field(default_factory=set)
    oiled: set[str] = field(default_factory=set)
    gummed: set[str] = field(default_factory=set)
    clean: set[str] = field(default_factory=set)
    tested: set[tuple[str, str]] = field(default_factory=set)
    wet: set[str] = field(default_factory=set)
    """Parts with a spirit on them that has not dried off."""
    live: bool = False
    stale: set[str] = field(default_factory=set)
    known_stale: set[str] = field(default_factory=set)
    """Tests that did not hold when the machine was handed over."""
    taken: set[str] = field(default_factory=set)
    handed: bool = False
    answers: dict[str, str] = field(default_factory=dict)
    """Every question that was asked, with its answer."""
    read: set[str] = field(default_factory=set)
    changed: dict[str, str] = field(default_factory=dict)
    at: dict[str, str] = field(default_factory=dict)
    may_be_seized: set[str] = field(default_factory=set)
    acted: set[int] = field(default_factory=set)

    def copy(self) -> OneState:
        return OneState(*(value if isinstance(value, bool) else value.copy() for value in vars(self).values()))

    def key(self) -> tuple[object, ...]:
        return tuple(map(_hashable, vars(self).values()))


def _hashable(value: object) -> object:
    match value:
        case set():
            return frozenset(value)
        case dict():
            return frozenset(value.items())
    return value
