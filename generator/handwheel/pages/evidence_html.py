"""Verdicts as they stand under a record: value, verdict in words, and the sum folded away."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from markupsafe import Markup, escape

from handwheel.evidence.also import Compared, compared_with
from handwheel.evidence.judge import verdicts
from handwheel.evidence.readings import in_both
from handwheel.evidence.screws import at_rim
from handwheel.evidence.verdict import Verdict, both
from handwheel.machines.conditions import ALWAYS
from handwheel.pages.here import Fact, Here
from handwheel.procedures.wording import condition_words
from handwheel.records.values import Amount, Varies


def checked(here: Here, plural: str, record: Any) -> list[Fact]:
    """The verdicts on a record's values as facts, `Pitch, recomputed`, and what other sources give for them."""
    found: dict[str, list[Verdict]] = {}
    for each in verdicts(here.library, plural, record):
        found.setdefault(each.what, []).append(each)
    told = [(f"{what}, recomputed", said(map(_verdict, each))) for what, each in found.items()]
    return [*told, *other_sources(here, record)]


def other_sources(here: Here, record: Any) -> list[Fact]:
    """What other sources give for a record's values, and whether they agree; nothing where none is told of."""
    other = [_other(here, each) for each in compared_with(here.library, record)]
    return [("Other sources", said(other))] if other else []


def said(each: Iterable[Markup]) -> Markup:
    """Several verdicts under one name, each on its own."""
    found = list(each)
    if len(found) == 1:
        return found[0]
    return Markup("\n").join(Markup('<div class="hw-said">{}</div>').format(one) for one in found)


def _other(here: Here, each: Compared) -> Markup:
    """`0.3 Ω in DIN VDE 0701-0702: differs by 0.2 Ω (200 % more)`, why it is set aside, and the sum."""
    also = each.also
    when = here.when(also.when) or (condition_words(here.library, each.condition) if each.condition != ALWAYS else "")
    of = Markup(" for <i>{}</i>").format(also.of.replace("_", " ")) if also.of != "value" else Markup("")
    value = Markup("{}{}{} in {}: ").format(
        in_both(also.value), f" ({when})" if when else "", of, here.cite([also.source])
    )
    why = Markup(". Set aside: {}").format(here.prose(also.set_aside)) if also.set_aside else Markup("")
    weak = Markup("") if each.standing.may_permit else Markup("; {}").format(each.standing.rule)
    said = Markup("<b>{}</b> {}").format(each.outcome.value, each.says)
    return value + said + weak + why + folded(each.arithmetic)


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
        force = at_rim(case.value) if isinstance(case.value, Amount) else ""
        words += escape(f", {force}" if force else "")
        if case.condition != ALWAYS:
            words += Markup(" <small>({})</small>").format(condition_words(here.library, case.condition))
        shown.append(words)
    return Markup("; ").join(shown)
