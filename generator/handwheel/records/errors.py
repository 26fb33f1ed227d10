"""The few errors that handwheel raises, all under one base.

HandwheelError
  └── InputErrors    what was written cannot be used; carries one message for each defect
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from handwheel.records.places import Place


class Told(Protocol):
    """What this floor needs to know of a message; reading makes them."""

    @property
    def place(self) -> Place:
        """Where the defect stands."""

    @property
    def what(self) -> str:
        """What is wrong."""


class HandwheelError(Exception):
    """Base of all errors that handwheel raises on purpose."""


class InputErrors(HandwheelError):  # noqa: N818 (several errors in one)
    """The shop's files cannot be used as they stand."""

    def __init__(self, messages: Iterable[Told], text: str = "") -> None:
        self.messages: tuple[Told, ...] = tuple(messages)
        super().__init__(text or "\n".join(f"{told.place}: {told.what}" for told in self.messages))
