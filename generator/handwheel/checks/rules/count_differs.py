"""A number of screws or parts in the text that the facts contradict.

What it proves:
    A number in a step's text ("both screws", "the three nuts"), or a plural where there is one, agrees with the
    number of fasteners or parts that the step's effects touch, on each machine that has the step. Several kinds may
    be counted together.

Why it matters at the bench:
    Who reads "both screws" stops looking after two, and levers against the third.

Failing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo both screws and lift the plate off., removes: [side-plate]}

Passing example:
    procedures:
      plate-off:
        title: Take the side plate off
        aim: {apart: [side-plate]}
        steps:
          - {do: Undo <fasteners plate-screw> and lift the plate off., removes: [side-plate]}

How to mend it:
    Quote the fastener with its number, `<fasteners plate-screw>`, or mend `count:` of the fastener.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import combinations

from handwheel.checks.finding import Finding
from handwheel.checks.holding import fasteners_of, parts_of, plurals, singulars
from handwheel.checks.machines import Machines
from handwheel.checks.rule import rule
from handwheel.checks.sentences import NUMBER, NUMBERS, number_in, texts_of_step
from handwheel.checks.sites import Site, Written
from handwheel.procedures.existence import present
from handwheel.procedures.wording import counted, joined
from handwheel.records.library import Library
from handwheel.records.part_records import Fastener, PartRecord
from handwheel.records.values import Text

Counted = Fastener | PartRecord
_ENDS = r"(?=\s*[.,;:]|\s+(?:and|out|in|off|on|until|before|by|up)\b|$)"
_BOTH = re.compile(rf"\b(?:tighten|undo|loosen|slacken|unscrew|nip|start)\s+both{_ENDS}")
_MOST = 8
"""Kinds of thing in one step beyond which every mixture of them is likely enough to give any number."""


@rule()
def find(library: Library, machines: Machines, steps: Sequence[Written]) -> Iterator[Finding]:
    """Numbers beside the nouns of what each step touches."""
    for step in steps:
        told = set()
        for key, text in texts_of_step(step.step):
            for site in step.sites or ():
                for said, wanted, things in _said(library, site, text):
                    if (text, said) in told:
                        continue
                    for wrong, where in _differs(machines, site, wanted, things):
                        told.add((text, said))
                        yield _finding(step.subject, key, text, said, wrong, where)


def _finding(subject: str, key: str, text: Text, said: str, wrong: Sequence[Counted], where: str) -> Finding:
    facts = joined(counted(each) for each in wrong)
    what = f"'{said}' in '{key}', and what the step touches is {facts}"
    right = f"<fasteners {wrong[0].id}>" if isinstance(wrong[0], Fastener) else f"<count {wrong[0].id}>"
    return Finding(
        place=text.place,
        subject=subject,
        what=what,
        right=f"{right}, which quotes the number",
        machines=where,
        related=tuple((each.where("count"), f"the count of '{each.id}'") for each in wrong),
    )


def _said(library: Library, site: Site, text: Text) -> Iterator[tuple[str, int, tuple[Counted, ...]]]:
    """What the text says, the number that it says, and what it can be said of; 1 and -1 for one and several."""
    things: tuple[Counted, ...] = (*fasteners_of(library, site.step), *parts_of(library, site.step))
    low = text.raw.casefold()
    if not things or not any(word in low for thing in things for word in (*plurals(thing), *singulars(thing), "both")):
        return
    for noun in dict.fromkeys(noun for thing in things for noun in plurals(thing) if noun in low):
        meant = tuple(thing for thing in things if noun in plurals(thing))
        for found in re.finditer(rf"\b({NUMBER})\s+(?:[a-z-]+\s+){{0,2}}{re.escape(noun)}\b", low):
            yield found[0], number_in(found[1]), meant
        for found in re.finditer(rf"\b(?:the|its|all|all the)\s+{re.escape(noun)}\b", low):
            yield found[0], -1, meant
    for noun in dict.fromkeys(noun for thing in things for noun in singulars(thing) if noun in low):
        meant = tuple(thing for thing in things if noun in singulars(thing))
        for found in re.finditer(rf"\bthe\s+{re.escape(noun)}\b(?!\s+of\b)", low):
            yield found[0], 1, meant
    turned = tuple(thing for thing in things if isinstance(thing, Fastener))
    if turned and _BOTH.search(low):
        yield "both", NUMBERS["both"], turned


def _differs(
    machines: Machines, site: Site, wanted: int, things: Sequence[Counted]
) -> Iterator[tuple[tuple[Counted, ...], str]]:
    """What is there where the number is wrong, and on which machines."""
    if len(things) > _MOST:
        return
    library = machines.library
    conditions = [present(library, _kind(each), each.id) for each in things]
    for space in machines.spaces(site.condition, *conditions):
        here = machines.where(space, site.condition)
        groups: list[tuple[int, tuple[Counted, ...]]] = [(here, ())]
        for thing, condition in zip(things, conditions, strict=True):
            has = machines.where(space, condition)
            groups = [
                (part, (*there, thing) if with_it else there)
                for mask, there in groups
                for part, with_it in ((mask & has, True), (mask & ~has, False))
                if part
            ]
        for mask, there in groups:
            if there and not _fits(wanted, [each.count for each in there]):
                yield there, machines.words(space, mask, here)
                return


def _fits(wanted: int, counts: Sequence[int]) -> bool:
    """Whether some of them together are that many; 1: some is one alone; -1: there are several in all."""
    if wanted == 1:
        return 1 in counts
    if wanted == -1:
        return sum(counts) > 1
    return any(sum(few) == wanted for n in range(1, len(counts) + 1) for few in combinations(counts, n))


def _kind(thing: Counted) -> str:
    return "fasteners" if isinstance(thing, Fastener) else "parts"
