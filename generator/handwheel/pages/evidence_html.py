"""Verdicts as they stand under a record: value, verdict in words, and the sum folded away."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from markupsafe import Markup, escape

from handwheel.evidence.judge import verdicts
from handwheel.evidence.readings import in_both
from handwheel.evidence.verdict import Verdict, both
from handwheel.machines.conditions import ALWAYS
from handwheel.pages.here import Fact, Here
from handwheel.procedures.wording import condition_words
from handwheel.records.values import Amount, Varies


def checked(here: Here, plural: str, record: Any) -> list[Fact]:
    """The verdicts on a record's values as facts, `Pitch, recomputed`."""
    found: dict[str, list[Verdict]] = {}
    for each in verdicts(here.library, plural, record):
        found.setdefault(each.what, []).append(each)
    return [(f"{what}, recomputed", Markup("<br>").join(map(_verdict, each))) for what, each in found.items()]


def _verdict(each: Verdict) -> Markup:
    value = Markup("{}: ").format(each.value) if each.value else Markup("")
    rest = each.words.removeprefix(each.outcome.value)
    return value + Markup("<b>{}</b>{}").format(each.outcome.value, rest) + folded(each.arithmetic)


def folded(lines: Iterable[str]) -> Markup:
    """Arithmetic on request; nothing for none."""
    items = Markup("").join(Markup("<li>{}</li>").format(line) for line in lines)
    if not items:
        return Markup("")
    return Markup('<details class="hw-state hw-sum"><summary>The sum</summary><ul>{}</ul></details>').format(items)


def amount(value: Amount | None) -> Markup:
    """A quantity with its other unit; nothing for none."""
    return escape(both(value)) if value is not None else Markup("")


def amounts(here: Here, value: Varies[Any] | None) -> Markup:
    """A quantity, or each of its alternatives with its condition, with both units."""
    if value is None:
        return Markup("")
    shown = []
    for case in value.cases:
        words = escape(both(case.value) if isinstance(case.value, Amount) else in_both(str(case.value)))
        if case.condition != ALWAYS:
            words += Markup(" <small>({})</small>").format(condition_words(here.library, case.condition))
        shown.append(words)
    return Markup("; ").join(shown)
