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
from handwheel.identify.conflicts import misfits
from handwheel.identify.evidence import Evidence, saw
from handwheel.identify.facts import Subject
from handwheel.identify.looks import Plan, next_looks
from handwheel.identify.made_up import made_up
from handwheel.identify.possible import possible_variants
from handwheel.identify.posterior import judge, posterior
from handwheel.identify.rates import Rates
from handwheel.identify.simulate import Found, Treatment, examined, look_at, put_together
from handwheel.identify.tables import Tables
from handwheel.machines.family import FamilyIndex
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
class Outcome:
    """One machine after its looks."""

    told: bool
    """No variant in the library left the works with its castings: a full look at them tells that it fits none."""
    right: bool
    probability: float
    none: float
    looks: int
    settled: bool


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
    says_of_told: float | None = None
    """Share of those in which a variant, a wrong one, has 0.9 or more."""


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


def example_subjects(count: int = 20) -> tuple[Subject, ...]:
    """Made-up families of 12 variants by 24 features."""
    return tuple(made_up(random.Random(number)) for number in range(count))


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
        outcomes.append(_outcome(rng, subject, tables[key], variant, case.how))
    return _score(case.how.name, outcomes)


def measured_sheets(
    subjects: Sequence[Subject], machines: int, seed: int = 1, sheets: Iterable[Sheet] = SHEETS
) -> Iterator[tuple[Sheet, tuple[Score, ...]]]:
    """Measure every table, one after the other."""
    for sheet in sheets:
        yield sheet, tuple(measure(case, subjects, machines, seed) for case in sheet.cases)


def sheet_text(sheet: Sheet, scores: Sequence[Score]) -> str:
    """A table as Markdown."""
    columns = [
        "machines",
        "right first",
        "says 90 %",
        "right when it says so",
        "fits none first",
        "settled wrongly",
        "looks",
    ]
    taken_out = any(case.taken_out for case in sheet.cases)
    columns += ["castings tell", "of those: fits none first", "of those: says 90 % of a wrong one"] if taken_out else []
    lines = [f"**{sheet.title}** ({scores[0].machines} machines a row)", "", f"| {' | '.join(columns)} |"]
    return "\n".join([*lines, "|" + "---|" * len(columns), *(_line(score, taken_out) for score in scores)])


def _line(score: Score, taken_out: bool = False) -> str:
    shares = [score.first, score.says, score.right_when_says, score.none_first, score.settled_wrong]
    cells = [score.name, *map(_percent, shares), f"{score.looks:.1f}"]
    cells += map(_percent, [score.told, score.none_of_told, score.says_of_told]) if taken_out else []
    return f"| {' | '.join(cells)} |"


def _percent(share: float | None) -> str:
    return "-" if share is None else f"{share:.1%}"


def _outcome(rng: random.Random, subject: Subject, tables: Tables, variant: str, how: Treatment) -> Outcome:
    plan = Plan()

    def choose(evidence: Evidence) -> str | None:
        offered = next_looks(tables, evidence, posterior(tables, evidence), plan)
        return None if offered.stop or not offered.looks else offered.looks[0].id

    machine = put_together(rng, subject, variant, how)
    evidence = again(rng, subject, tables, machine, how, examined(rng, subject, machine, how, choose))
    found = posterior(tables, evidence)
    top = found.ranked[0]
    looks = len(evidence.looks) + len(evidence.measured) + (evidence.serial is not None)
    settled = judge(tables, evidence, found).verdict == "settled"
    return Outcome(
        _told(tables, machine), tables.variants[top] == variant, found.variants[top], found.none, looks, settled
    )


def again(
    rng: random.Random, subject: Subject, tables: Tables, machine: Found, how: Treatment, evidence: Evidence
) -> Evidence:
    """Look a second time, on its own, at each casting that the likeliest variant does not show."""
    index = FamilyIndex(subject.family)
    for _ in range(len(tables.carriers)):
        top = posterior(tables, evidence).ranked[0]
        doubted = [each.feature for each in misfits(tables, evidence, top) if each.never_swapped]
        once = [f for f in doubted if sum(look.feature == f for look in evidence.looks) == 1]
        if not once:
            return evidence
        second = tuple(look_at(rng, index, machine, feature, how) for feature in once)
        evidence = replace(evidence, looks=(*evidence.looks, *(look for look in second if look.forms)))
        if not all(look.forms for look in second):
            return evidence
    return evidence


def _score(name: str, outcomes: Sequence[Outcome]) -> Score:
    count = len(outcomes)
    says = [outcome for outcome in outcomes if outcome.probability >= SAYS]
    told = [outcome for outcome in outcomes if outcome.told]
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
        says_of_told=_share([o.probability >= SAYS for o in told]),
    )


def _told(tables: Tables, machine: Found) -> bool:
    """Whether the castings alone, all seen and none wrongly, rule out every variant."""
    fixed = {tables.traits[t].id for carrier in tables.carriers if carrier.never_swapped for t in carrier.traits}
    looks = tuple(saw(feature, form) for feature, form in machine.forms.items() if feature in fixed)
    return not any(possible_variants(tables, Evidence(looks)))


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
