"""One machine, what is known of one, and where a part of it comes from: plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Machine:
    """A machine that can stand here: as what it was built, and what is on it now."""

    variant: str
    forms: Mapping[str, str]
    """Form by feature, derived ones included; `missing` where the part is lost."""


@dataclass(frozen=True)
class Known:
    """What is known of the machine on the bench; what is not named has not been looked at."""

    variants: frozenset[str] | None = None
    forms: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Forms still possible, by feature."""


@dataclass(frozen=True)
class Origin:
    """Every way in which a part can have come to look as it does."""

    original: bool
    donors: tuple[str, ...] = ()
    """Other variants that left the works with such a part."""
    outsiders: tuple[str, ...] = ()
    missing: bool = False
