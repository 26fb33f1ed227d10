"""A step, part or value that is for no machine.

What it proves:
    What stands under a condition is there on some machine that can stand here: every step, part, fastener, setting,
    oiling point, procedure, job and case of a value of the shop. A `by:` may name forms that are not in use. What
    was found, read or chosen, and what work may change, is left open.

Why it matters at the bench:
    A step that is for no machine is a step that somebody wrote for the machine on the bench, and that its page does
    not show.

Failing example:
    procedures:
      lamp-care:
        title: Look after the lamp
        steps:
          - {do: Wipe the bracket., when: {lamp: none, supply: mains}}

Passing example:
    procedures:
      lamp-care:
        title: Look after the lamp
        steps:
          - {do: Wipe the bracket., when: {lamp: bracket, supply: mains}}

How to mend it:
    Mend the condition or those around it, or the combination under `cannot_stand:`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handwheel.checks.alternatives import alternatives_of
from handwheel.checks.finding import Finding
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.sites import Written
from handwheel.machines.conditions import ALWAYS, Condition
from handwheel.machines.reduce import conjunction
from handwheel.procedures.existence import present
from handwheel.procedures.wording import condition_words
from handwheel.records.kinds import KINDS, Record
from handwheel.records.library import Library

_THINGS = ("parts", "fasteners", "settings", "oiling_points")
_HELD = (*_THINGS, "procedures", "jobs", "findings", "readings", "choices", "proofs", "prohibitions", "items")


@rule()
def find(library: Library, machines: Machines, steps: Sequence[Written], own: frozenset[str]) -> Iterator[Finding]:
    """All that stands under a condition, in the shop's own layer."""
    empty = set()
    for kind in _HELD:
        for record in library.of(kind).values():
            if record.layer in own and not machines.anywhere(machines.looked(_condition(library, kind, record))):
                empty.add((kind, record.id))
                yield _of_record(library, kind, record)
    for step in steps:
        dead = step.procedure.layer in own and ("procedures", step.procedure.id) not in empty and bool(step.sites)
        if dead and not machines.anywhere(machines.looked(step.condition)):
            yield _of_step(library, step)
    yield from _values(library, machines, own, empty)


def _condition(library: Library, kind: str, record: Record) -> Condition:
    if kind in _THINGS:
        return present(library, kind, record.id)
    when = getattr(record, "when", None)
    return when.condition if when is not None else ALWAYS


def _of_record(library: Library, kind: str, record: Record) -> Finding:
    words = condition_words(library, _condition(library, kind, record))
    return Finding(
        place=record.where("when"),
        subject=f"{kind}/{record.id}",
        what=f"no machine that can stand here has the {KINDS[kind].singular} '{record.id}' ({words})",
        right="another condition, or other 'cannot_stand:'",
    )


def _of_step(library: Library, step: Written) -> Finding:
    return Finding(
        place=step.step.place,
        subject=step.subject,
        what=f"no machine that can stand here has this step ({condition_words(library, step.condition)})",
        right="another condition here or around it, or other 'cannot_stand:'",
    )


def _values(
    library: Library, machines: Machines, own: frozenset[str], empty: set[tuple[str, str]]
) -> Iterator[Finding]:
    layers = {f"{kind}/{record.id}": record.layer for kind, record in library}
    gone = {f"{kind}/{identifier}" for kind, identifier in empty}
    for one in alternatives_of(library, ()):
        if one.by or layers.get(one.subject) not in own or one.subject in gone:
            continue
        for condition, place in zip(one.conditions, one.places, strict=True):
            if not machines.anywhere(machines.looked(conjunction((one.within, condition)))):
                yield Finding(
                    place=place,
                    subject=one.subject,
                    what=f"this case of {one.what} is for no machine ({condition_words(library, condition)})",
                    right="another condition, or the case taken out",
                )
