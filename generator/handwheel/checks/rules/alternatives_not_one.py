"""Alternatives of which none, or more than one, hold for some machine.

What it proves:
    Of every set of alternatives (`one_of`, `by`, a text or a value by machine) exactly one holds on each machine
    that can stand here and has the step or record, parts swapped and parts missing included, whatever a look, a
    reading or the owner may have answered.

Why it matters at the bench:
    Where none holds, the page has a hole just where the machine is unusual, and nobody sees that something is
    left out. Where two hold, the page says two things at once, and the restorer picks one.

Failing example:
    procedures:
      lamp-care:
        title: Look after the lamp
        steps:
          - one_of:
              - when: {lamp: bracket}
                steps: [{do: Wipe the bracket.}]
              - when: {lamp: [bracket, stalk]}
                steps: [{do: Wipe the stalk.}]

Passing example:
    procedures:
      lamp-care:
        title: Look after the lamp
        steps:
          - by: lamp
            bracket: [{do: Wipe the bracket.}]
            stalk: [{do: Wipe the stalk.}]
            none: nothing

How to mend it:
    Let the alternatives hang on one question with `by:`, which names every form. Where a part may be missing or
    the step is for some machines only, put a `when:` around it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain

from handwheel.checks.alternatives import Alternatives, alternatives_of
from handwheel.checks.finding import Finding
from handwheel.checks.machines import Judged, Machines
from handwheel.checks.rule import rule
from handwheel.checks.sites import ForkSite, Written
from handwheel.machines.errors import DerivedGap
from handwheel.procedures.wording import condition_words, joined
from handwheel.records.library import Library


@rule(exact=True)
def find(
    library: Library, machines: Machines, forks: Sequence[ForkSite], steps: Sequence[Written]
) -> Iterator[Finding]:
    """Every choice of a procedure and every value that differs by machine, each told of once."""
    yield from _derived(machines)
    told: set[object] = set()
    for one in chain(map(_of_fork, forks), alternatives_of(library, steps)):
        for judged in machines.judged(one.conditions, one.within):
            key = one.place, judged.space.family.id
            if not judged.split.exact and key not in told:
                told.add(key)
                yield from _told(library, machines, one, judged)


def _of_fork(fork: ForkSite) -> Alternatives:
    what = f"'by: {fork.question}'" if fork.question else "'one_of'"
    return Alternatives(f"procedures/{fork.procedure}", what, fork.conditions, fork.places, fork.within, fork.place)


def _told(library: Library, machines: Machines, one: Alternatives, judged: Judged) -> Iterator[Finding]:
    if judged.split.none:
        yield Finding(
            place=one.place,
            subject=one.subject,
            what=f"none of the alternatives of {one.what} holds",
            right="a case for these machines, or a 'when:' that leaves them out",
            machines=machines.words(judged.space, judged.split.none, judged.within, judged.answers) or "all machines",
        )
    for pair in judged.split.overlaps:
        both = joined(f"'{condition_words(library, one.conditions[i])}'" for i in (pair.first, pair.second))
        yield Finding(
            place=one.place,
            subject=one.subject,
            what=f"two alternatives of {one.what} hold at once: {both}",
            right="one of them narrower, or 'by:' one question",
            machines=machines.words(judged.space, pair.machines, judged.within, judged.answers) or "all machines",
            related=tuple((one.places[i], "this alternative") for i in (pair.first, pair.second)),
        )


def _derived(machines: Machines) -> Iterator[Finding]:
    for family in machines.families:
        for feature in machines.index(family).derived:
            machines.space(family, frozenset((feature.id,)))
    errors: Mapping[object, object] = dict.fromkeys(machines.beyond.values())
    for error in errors:
        if isinstance(error, DerivedGap):
            record = machines.library.features[error.feature]
            yield Finding(
                place=record.place,
                subject=f"features/{record.id}",
                what=f"no line of the derived feature '{record.id}' holds on some machines ({error.count})",
                right="a last line without 'when:'",
                machines="; ".join(error.examples),
            )
