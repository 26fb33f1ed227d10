"""A rule: what it looks for, which facts it asks for, how grave it is, and its page."""

from __future__ import annotations

import inspect
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from handwheel.checks.finding import Finding, Level
from handwheel.checks.page import RulePage, page_of

Find = Callable[..., Iterable[Finding]]


@dataclass(frozen=True)
class Rule:
    """One rule; its id is the name of its file."""

    id: str
    level: Level
    """Level where the shop says nothing."""
    safety: bool
    """A person can be hurt: always an error, never accepted, and it stops publishing."""
    exact: bool
    """Pages would say two things or none: always an error, never accepted, and it stops publishing."""
    needs: tuple[str, ...]
    """Names of the facts that it asks for, in the order of its parameters."""
    find: Find
    page: RulePage

    @property
    def fixed(self) -> bool:
        """Whether the shop can neither change its level nor accept what it finds."""
        return self.safety or self.exact

    def __call__(self, *facts: Any) -> Iterator[Finding]:
        """What it finds, given its facts in the order of `needs`."""
        yield from self.find(*facts)


def rule(level: Level = "warning", *, safety: bool = False, exact: bool = False) -> Callable[[Find], Rule]:
    """Make a function a rule. Its parameters name the facts that it needs; its module's docstring is its page."""

    def declare(find: Find) -> Rule:
        module = sys.modules[find.__module__]
        identifier = find.__module__.rpartition(".")[2].replace("_", "-")
        page = page_of(identifier, module.__doc__ or "")
        needs = tuple(inspect.signature(find).parameters)
        return Rule(identifier, "error" if safety or exact else level, safety, exact, needs, find, page)

    return declare
