"""A `not:` of several things that excludes only all of them at once.

What it proves:
    No condition says `not: {a: .., b: ..}`, which holds as soon as one of the two does not.

Why it matters at the bench:
    "Not the bracket lamp and the iron casting" is meant as neither, mostly, and a machine with one of the two then
    gets the step that should have spared it.

Failing example:
    procedures:
      lamp-care:
        title: Look after the lamp
        steps:
          - {do: Wipe the stalk., when: {not: {lamp: bracket, casting: iron}}}

Passing example:
    procedures:
      lamp-care:
        title: Look after the lamp
        steps:
          - {do: Wipe the stalk., when: {not: [{lamp: none}, {bulb: none}]}}

How to mend it:
    Write `not: [{a: ..}, {b: ..}]` for neither. Where "not both" is meant, accept the finding, or write
    `[{not: {a: ..}}, {not: {b: ..}}]`.
"""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.checks.conditions import conditions_of, inside
from handwheel.checks.finding import Finding
from handwheel.checks.rule import rule
from handwheel.machines.conditions import All, Condition, Not, questions_of
from handwheel.procedures.wording import condition_words, joined
from handwheel.records.library import Library


@rule()
def find(library: Library) -> Iterator[Finding]:
    """Negations of several conditions at once."""
    for kind, record in library:
        for condition, place in conditions_of(record):
            for part in inside(condition):
                if _not_both(part):
                    yield _finding(library, f"{kind}/{record.id}", part, place)


def _not_both(condition: Condition) -> bool:
    if not isinstance(condition, Not) or not isinstance(condition.part, All):
        return False
    return len(condition.part.parts) > 1 and not any(":" in question for question in questions_of(condition.part))


def _finding(library: Library, subject: str, condition: Condition, place: object) -> Finding:
    assert isinstance(condition, Not) and isinstance(condition.part, All)
    parts = [f"'{condition_words(library, part)}'" for part in condition.part.parts]
    return Finding(
        place=place,  # type: ignore[arg-type]
        subject=subject,
        what=f"this holds unless {joined(parts)} hold together; with one of them alone it still holds",
        right="not: [{..}, {..}] for neither of them",
    )
