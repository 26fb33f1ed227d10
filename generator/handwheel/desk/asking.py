"""Questions to a person at a terminal, one line each."""

from __future__ import annotations

import sys
from collections.abc import Callable

Ask = Callable[[str, str], str]
"""Question and what holds when nothing is answered -> the answer."""


def ask_here(question: str, default: str) -> str:
    """Ask at the terminal; talk goes to standard error."""
    sys.stderr.write(f"{question} [{default}] " if default else f"{question} ")
    sys.stderr.flush()
    return sys.stdin.readline().strip() or default


def take_default(_: str, default: str) -> str:
    """Ask nobody."""
    return default


def asker(quiet: bool = False) -> Ask:
    """Whom to ask: the person, if one sits at a terminal and may be asked."""
    return ask_here if not quiet and sys.stdin.isatty() and sys.stderr.isatty() else take_default
