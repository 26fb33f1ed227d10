"""All rules: every file in `rules/` is one, and nothing else has to be told of it."""

from __future__ import annotations

import pkgutil
from functools import cache
from importlib import import_module

from handwheel.checks import rules as folder
from handwheel.checks.page import RulePage
from handwheel.checks.rule import Rule


class NoRule(ImportError):  # noqa: N818 - named for what is wrong with the file
    """A file in `rules/` that is no rule."""


@cache
def all_rules() -> tuple[Rule, ...]:
    """Every rule, by id."""
    names = sorted(module.name for module in pkgutil.iter_modules(folder.__path__))
    return tuple(_rule(name) for name in names)


@cache
def rules_by_id() -> dict[str, Rule]:
    """Id -> rule."""
    return {rule.id: rule for rule in all_rules()}


def rule_pages() -> tuple[RulePage, ...]:
    """The page of every rule, by id."""
    return tuple(rule.page for rule in all_rules())


def _rule(name: str) -> Rule:
    found = getattr(import_module(f"{folder.__name__}.{name}"), "find", None)
    if not isinstance(found, Rule):
        raise NoRule(f"checks/rules/{name}.py declares no rule: a function 'find' under '@rule(...)'")
    return found
