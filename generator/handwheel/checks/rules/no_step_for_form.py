"""A form that steps pass over, where they speak of all the others.

What it proves:
    Where steps differ by a feature and name all of its forms but one, that one is not forgotten: it is named, too.
    A form for "none" is left alone.

Why it matters at the bench:
    A new form is added to a feature, its steps are not, and the page of such a machine is silent just there.

Failing example:
    procedures:
      foot-care:
        title: Look after the foot
        steps:
          - {do: Wipe the thumb screw., when: {foot: thumb}}
          - {do: Wipe the snap., when: {foot: snap}}

Passing example:
    procedures:
      foot-care:
        title: Look after the foot
        steps:
          - by: foot
            thumb: [{do: Wipe the thumb screw.}]
            snap: [{do: Wipe the snap.}]
            hinge: nothing

How to mend it:
    Let the steps hang on the feature with `by:`, and write `nothing` where there is nothing to do.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.conditions import inside
from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.sites import ForkSite, Written
from handwheel.machines.conditions import Condition, Is, Not, questions_of
from handwheel.records.library import Library

_NOTHING = frozenset(("none", "missing", "absent"))


@rule("note")
def find(
    library: Library, machines: Machines, steps: Sequence[Written], forks: Sequence[ForkSite]
) -> Iterator[Finding]:
    """Forms in use that are left over."""
    named, negated = _named(steps, forks)
    for feature in library.features.values():
        used = {form for space in machines.spaces(Is(feature.id, frozenset())) for form in space.states(feature.id)}
        left = used - named.get(feature.id, set()) - _NOTHING
        told = (used & named.get(feature.id, set())) - _NOTHING
        if feature.derived or feature.id in negated or len(left) != 1 or len(told) < 2:
            continue
        form = left.pop()
        yield Finding(
            place=feature.forms[form].place,
            subject=f"features/{feature.id}",
            what=f"steps speak of every form of '{feature.id}' but '{form}'",
            right=f"'by: {feature.id}' in the steps, with '{form}: nothing' if nothing is done",
        )


def _named(steps: Sequence[Written], forks: Sequence[ForkSite]) -> tuple[dict[str, set[str]], set[str]]:
    """Question -> forms that conditions of steps name; and questions of which some are excluded."""
    named: dict[str, set[str]] = {}
    negated: set[str] = set()
    conditions: dict[Condition, None] = dict.fromkeys(each for fork in forks for each in fork.conditions)
    conditions |= dict.fromkeys(step.condition for step in steps)
    for condition in conditions:
        for part in inside(condition):
            if isinstance(part, Not):
                negated |= questions_of(part)
            elif isinstance(part, Is):
                named.setdefault(part.question, set()).update(part.states)
    return named, negated
