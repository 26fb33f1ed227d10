"""How often the engine is right, and how often when it says so: simulated machines, looked at as it advises.

Each machine is put together by `simulate`, with other rates than the engine assumes where a table says
so; then the offered looks are taken until the engine stops. A row's "says 90 %" are the machines whose
likeliest variant then has 0.9 or more.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from handwheel.identify.build import build_tables
from handwheel.identify.facts import Subject
from handwheel.identify.made_up import made_up
from handwheel.identify.rates import Rates
from handwheel.identify.simulate import Treatment
from handwheel.identify.tables import Tables
from handwheel.identify.trial import Outcome, outcome_of
from handwheel.machines.questions import Swapped

SAYS = 0.9

BY_CHANCE: dict[Swapped, float] = {"never": 0.0, "seldom": 0.05, "often": 0.25}


@dataclass(frozen=True)
class Case:
    """One row to be measured."""

    how: Treatment
    taken_out: bool = False
    """The true variant is taken out of the library."""
    apart: int = 0
    """Only variants that differ from every other in at least so many features of parts never swapped."""


@dataclass(frozen=True)
class Sheet:
    """One table."""

    title: str
    cases: tuple[Case, ...]


@dataclass(frozen=True)
class Score:
    """One row as measured."""

    name: str
    machines: int
    first: float
    """Share in which the true variant is the likeliest."""
    says: float
    """Share in which the likeliest variant has 0.9 or more."""
    right_when_says: float | None
    """Share of those in which it is right; None: it never said so."""
    none_first: float
    """Share in which 'fits none' is likelier than any variant."""
    settled_wrong: float
    """Share that ended settled on a wrong variant."""
    looks: float
    """Mean number of looks."""
    told: float = 0.0
    """Share whose castings no variant in the library has. Of the others any part may have been exchanged: nothing can
    tell them from a variant that is there."""
    none_of_told: float | None = None
    """Share of those in which 'fits none' is likelier than any variant."""
    shown: float = 0.0
    """Share in which the castings that could be seen, and were seen right, rule out every variant."""
    none_of_shown: float | None = None
    """Share of those in which 'fits none' is likelier than any variant."""
    says_of_shown: float | None = None
    """Share of those in which a variant, a wrong one, has 0.9 or more."""
    misled: tuple[Outcome, ...] = ()
    """Machines that end with 0.9 or more on a wrong variant."""


def _parts() -> Iterator[Case]:
    for changed in range(4):
        parts = f"{changed} part{'' if changed == 1 else 's'} not original"
        yield Case(Treatment(f"{parts}, serial read right", changed))
        yield Case(Treatment(f"{parts}, one character misread", changed, misread=1))
        yield Case(Treatment(f"{parts}, plate worn away", changed, worn=True))


def _rates() -> Iterator[Case]:
    for name, factor in (("a third of", 1 / 3), ("as", 1.0), ("three times", 3.0)):
        swapped = {kind: min(rate * factor, 0.75) for kind, rate in BY_CHANCE.items()}
        yield Case(Treatment(f"parts swapped {name} what is assumed", swapped=swapped, worn=True))


SHEETS: tuple[Sheet, ...] = (
    Sheet("Parts not original, and the serial", tuple(_parts())),
    Sheet("Swap rates that are off", tuple(_rates())),
    Sheet(
        "Parts swapped together, all from one donor",
        tuple(Case(Treatment(f"{n} parts from one donor", n, together=True, worn=True)) for n in (2, 3, 4)),
    ),
    Sheet(
        "Parts from outside the family",
        tuple(Case(Treatment(f"{n} from outside, half declared", n, outside=1.0, worn=True)) for n in (1, 2, 3)),
    ),
    Sheet(
        "Looks answered wrongly",
        tuple(Case(Treatment(f"one look in {n} wrong", wrong=1 / n, worn=True)) for n in (100, 20, 10)),
    ),
    Sheet(
        "The true variant taken out of the library",
        (
            Case(Treatment("any variant, plate worn away", worn=True), taken_out=True),
            Case(Treatment("any variant, serial read right"), taken_out=True),
            Case(Treatment("two features of castings apart, plate worn", worn=True), taken_out=True, apart=2),
            Case(Treatment("three features of castings apart, plate worn", worn=True), taken_out=True, apart=3),
        ),
    ),
)


TUNING = 5000
"""Where the families begin on which rates were chosen; what is reported is measured on others."""


def example_subjects(count: int = 20, first: int = 0) -> tuple[Subject, ...]:
    """Made-up families of 12 variants by 24 features; the first of them are those of the report."""
    return tuple(made_up(random.Random(number)) for number in range(first, first + count))


def measure(case: Case, subjects: Sequence[Subject], machines: int, seed: int = 1, rates: Rates | None = None) -> Score:
    """Simulate one row.

    Args:
        case: What is done to the machines.
        subjects: Families to draw machines from, in turn.
        machines: How many.
        seed: Of the random numbers.
        rates: What the engine assumes.

    Raises:
        ValueError: No variant of any family is as far apart as the case asks.
    """
    rng = random.Random(f"{seed}/{case.how.name}")
    chosen = [(subject, v) for subject in subjects if (v := _variants(subject, case.apart))]
    if not chosen:
        raise ValueError(f"no variant differs from all others in {case.apart} features of parts never swapped")
    tables: dict[tuple[int, str], Tables] = {}
    outcomes = []
    for number in range(machines):
        place = number % len(chosen)
        subject, variants = chosen[place]
        variant = rng.choice(variants)
        key = (place, variant if case.taken_out else "")
        if key not in tables:
            tables[key] = build_tables(_without(subject, variant) if case.taken_out else subject, rates)
        outcomes.append(outcome_of(rng, subject, tables[key], variant, case.how))
    return _score(case.how.name, outcomes)


def measured_sheets(
    subjects: Sequence[Subject], machines: int, seed: int = 1, sheets: Iterable[Sheet] = SHEETS
) -> Iterator[tuple[Sheet, tuple[Score, ...]]]:
    """Measure every table, one after the other."""
    for sheet in sheets:
        yield sheet, tuple(measure(case, subjects, machines, seed) for case in sheet.cases)


def _score(name: str, outcomes: Sequence[Outcome]) -> Score:
    count = len(outcomes)
    says = [outcome for outcome in outcomes if outcome.probability >= SAYS]
    told = [outcome for outcome in outcomes if outcome.told]
    shown = [outcome for outcome in outcomes if outcome.shown]
    return Score(
        name=name,
        machines=count,
        first=sum(o.right for o in outcomes) / count,
        says=len(says) / count,
        right_when_says=sum(o.right for o in says) / len(says) if says else None,
        none_first=sum(o.none > o.probability for o in outcomes) / count,
        settled_wrong=sum(o.settled and not o.right for o in outcomes) / count,
        looks=sum(o.looks for o in outcomes) / count,
        told=len(told) / count,
        none_of_told=_share([o.none > o.probability for o in told]),
        shown=len(shown) / count,
        none_of_shown=_share([o.none > o.probability for o in shown]),
        says_of_shown=_share([o.probability >= SAYS for o in shown]),
        misled=tuple(outcome for outcome in says if not outcome.right),
    )


def _share(held: Sequence[bool]) -> float | None:
    return sum(held) / len(held) if held else None


def _without(subject: Subject, variant: str) -> Subject:
    variants = tuple(v for v in subject.family.variants if v.id != variant)
    return replace(subject, family=replace(subject.family, variants=variants))


def _variants(subject: Subject, apart: int) -> list[str]:
    """Variants that differ from every other in so many features of parts that are never swapped."""
    family = subject.family
    fixed = [feature.id for feature in family.features if feature.swapped == "never" and not feature.derived]
    found = []
    for variant in family.variants:
        others = [other for other in family.variants if other.id != variant.id]
        gaps = [sum(not set(variant.features.get(f, ())) & set(o.features.get(f, ())) for f in fixed) for o in others]
        if min(gaps, default=0) >= apart:
            found.append(variant.id)
    return found
