"""A level set for a rule that is not there, or that has only one.

What it proves:
    Every rule under `levels:` of the shop is one whose level the shop may set.

Why it matters at the bench:
    The shop believes that something is watched, or is not, and it is the other way about.

Failing example:
    shops:
      bench-end: {name: Bench End, levels: {long-sentences: error}}

Passing example:
    shops:
      bench-end: {name: Bench End, levels: {long-sentence: error}}

How to mend it:
    Take the id of the rule that is meant. The level of a safety rule, and of the rule on alternatives, is fixed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.reading.nearest import nearest
from handwheel.records.library import Library


@rule()
def find(library: Library, rules: Mapping[str, Any]) -> Iterator[Finding]:
    """Levels of the shop that publishes."""
    shop = library.shop
    for name in shop.levels if shop else ():
        assert shop is not None
        if name not in rules:
            near = nearest(name, rules)
            what, right = f"there is no rule '{name}'", f"did you mean '{near}'?" if near else "the id of a rule"
        elif rules[name].fixed:
            what, right = f"'{name}' is an error always", f"'levels:' without '{name}'"
        else:
            continue
        yield Finding(place=shop.where("levels"), subject=f"shops/{shop.id}", what=what, right=right)
