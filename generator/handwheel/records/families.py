"""From records to the machines of floor 1: a family with all that can be asked of it.

Years and serial numbers part a variant's machines too. Each cut that some condition makes is a
yes-or-no question of its own ("made in 1936 or later"), answered by the variant as far as its years
and blocks tell; answers that contradict each other are barred, so floor 1 needs no numbers.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from typing import cast

from handwheel.machines import questions as q
from handwheel.machines.conditions import All, Condition, Is, Not
from handwheel.records.library import Library
from handwheel.records.machine_records import Block, Feature, Variant, Years

YES = frozenset(("yes",))
ABSENT = "absent"
"""Form of a feature that no variant of the family names: conditions on it are false there."""


def year_question(year: int) -> str:
    """Id of the question whether a machine was made in the year or later."""
    return f"made:{year}"


def serial_question(prefix: str, number: int) -> str:
    """Id of the question whether a machine bears the prefix and at least the number."""
    return f"serial:{prefix}:{number}"


def years_within(first: int | None, last: int | None) -> Condition:
    """Made in the first year or later and not after the last."""
    parts: list[Condition] = [] if first is None else [Is(year_question(first), YES)]
    if last is not None:
        parts.append(Not(Is(year_question(last + 1), YES)))
    return All(tuple(parts))


def serials_within(prefix: str, first: int, last: int | None) -> Condition:
    """Bears the prefix and a number from first to last."""
    parts: list[Condition] = [Is(serial_question(prefix, first), YES)]
    if last is not None:
        parts.append(Not(Is(serial_question(prefix, last + 1), YES)))
    return All(tuple(parts))


@lru_cache(maxsize=256)
def family_of(library: Library, family: str) -> q.Family:
    """The family with its variants, all features of the library, and what cannot stand."""
    return _family(library, family)


@lru_cache(maxsize=256)
def family_as_built(library: Library, family: str) -> q.Family:
    """The family with nothing swapped and nothing lost: its machines are those that left the works.

    What holds for a named variant is asked of these few, not of all that can stand here.
    """
    whole = family_of(library, family)
    fixed = tuple(replace(each, swapped="never", missing=False) for each in whole.features)
    return replace(whole, features=fixed, outsiders=())


def _family(library: Library, family: str) -> q.Family:
    variants = library.variants_of(family)
    named = frozenset(feature for each in variants for feature in each.features)
    features = tuple(_asked(each, each.id in named) for each in library.features.values() if not each.derived)
    derived = tuple(_derived(each) for each in library.features.values() if each.derived)
    absent = frozenset(each.id for each in features) - named
    barred = [each.when.condition for each in library.families[family].cannot_stand]
    return q.Family(
        id=family,
        variants=tuple(_variant(library, each, absent) for each in variants),
        features=features + derived + tuple(_cuts(library)),
        outsiders=tuple(
            q.Outsider(each.id, each.part, each.forms)
            for each in library.outsiders.values()
            if not each.families or family in each.families
        ),
        cannot_stand=(*barred, *_cut_order(library)),
        elsewhere=frozenset(each.id for each in library.variants.values() if each.family != family),
    )


def _asked(record: Feature, named: bool) -> q.Feature:
    return q.Feature(
        id=record.id,
        forms=(*record.forms, *(() if named else (ABSENT,))),
        carried_by=record.carried_by if named else "",
        swapped=cast(q.Swapped, record.swapped) if named else "never",
        missing=record.missing and named,
        effort=cast(q.Effort, record.effort),
        changes_by_work=record.changes_by_work,
    )


def _derived(record: Feature) -> q.Feature:
    lines = tuple((each.form, each.when.condition if each.when else None) for each in record.derived)
    return q.Feature(id=record.id, forms=tuple(dict.fromkeys(form for form, _ in lines)), derived=lines)


def _cuts(library: Library) -> Iterator[q.Feature]:
    for year in sorted(library.year_cuts):
        yield q.Feature(year_question(year), ("yes", "no"))
    for prefix, number in sorted(library.serial_cuts):
        yield q.Feature(serial_question(prefix, number), ("yes", "no"))


def _variant(library: Library, record: Variant, absent: frozenset[str]) -> q.Variant:
    forms = dict(record.features) | dict.fromkeys(sorted(absent), (ABSENT,))
    for year in library.year_cuts:
        forms[year_question(year)] = _made_by(record.made, year)
    for prefix, number in library.serial_cuts:
        forms[serial_question(prefix, number)] = _numbered(record.serials, prefix, number)
    return q.Variant(record.id, forms)


def _made_by(made: Years | None, year: int) -> tuple[str, ...]:
    if made is None:
        return ("yes", "no")
    yes = made.last is None or made.last >= year
    no = made.first is None or made.first < year
    return ("yes",) * yes + ("no",) * no


def _numbered(blocks: tuple[Block, ...], prefix: str, number: int) -> tuple[str, ...]:
    if not blocks:
        return ("yes", "no")
    yes = any(each.prefix == prefix and each.last >= number for each in blocks)
    no = any(each.prefix != prefix or each.first < number for each in blocks)
    return ("yes",) * yes + ("no",) * no


def _cut_order(library: Library) -> Iterator[Condition]:
    """A machine made in 1938 or later was made in 1936 or later: the contrary cannot stand."""
    years = [year_question(year) for year in sorted(library.year_cuts)]
    yield from _falling(years)
    for prefix in sorted({prefix for prefix, _ in library.serial_cuts}):
        yield from _falling([serial_question(p, n) for p, n in sorted(library.serial_cuts) if p == prefix])
    lowest: dict[str, int] = {}
    for prefix, number in sorted(library.serial_cuts, reverse=True):
        lowest[prefix] = number
    firsts = [serial_question(prefix, number) for prefix, number in sorted(lowest.items())]
    for index, one in enumerate(firsts):
        for other in firsts[index + 1 :]:
            yield All((Is(one, YES), Is(other, YES)))


def _falling(cuts: list[str]) -> Iterator[Condition]:
    for lower, higher in itertools.pairwise(cuts):
        yield All((Is(higher, YES), Not(Is(lower, YES))))
