"""One simulated machine, looked at as the engine advises: what the engine then says, and what could be told at all.

A machine whose castings equal those of a variant that is there *is* a machine of that variant with parts
exchanged, so nothing can tell a variant that was taken out from it. What castings can tell, and what of it
was truly shown by the looks that could be taken, stands beside the answer.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, replace

from handwheel.identify.conflicts import misfits
from handwheel.identify.evidence import Evidence, Look, saw
from handwheel.identify.facts import Subject
from handwheel.identify.looks import Plan, next_looks
from handwheel.identify.possible import possible_variants
from handwheel.identify.posterior import judge, posterior
from handwheel.identify.simulate import Found, Treatment, examined, look_at, put_together
from handwheel.identify.tables import Carrier, Tables, Trait
from handwheel.machines.family import FamilyIndex
from handwheel.machines.questions import Swapped

MOST_LOOKS = 3
"""At one casting: two that agree are enough, the third decides between two that do not."""


@dataclass(frozen=True)
class Difference:
    """A form in which the machine is not as the variant that it is taken for left the works."""

    feature: str
    swapped: Swapped
    seen: bool
    """Whether a look named the form that is there."""


@dataclass(frozen=True)
class Outcome:
    """One machine after its looks."""

    told: bool
    """No variant in the library left the works with its castings: a full look at them tells that it fits none."""
    shown: bool
    """The looks at castings that were taken, those named right, rule out every variant."""
    right: bool
    probability: float
    none: float
    looks: int
    settled: bool
    variant: str = ""
    named: str = ""
    """The likeliest variant."""
    differs: tuple[Difference, ...] = ()
    """From the likeliest variant."""


def outcome_of(rng: random.Random, subject: Subject, tables: Tables, variant: str, how: Treatment) -> Outcome:
    """Put a machine together, look at it until the engine stops, and a second time at castings in doubt."""
    plan = Plan()

    def choose(evidence: Evidence) -> str | None:
        offered = next_looks(tables, evidence, posterior(tables, evidence), plan)
        return None if offered.stop or not offered.looks else offered.looks[0].id

    machine = put_together(rng, subject, variant, how)
    evidence = again(rng, subject, tables, machine, how, examined(rng, subject, machine, how, choose))
    found = posterior(tables, evidence)
    top = found.ranked[0]
    return Outcome(
        told=not any(possible_variants(tables, Evidence(_castings(tables, machine)))),
        shown=not any(possible_variants(tables, Evidence(_named_right(tables, machine, evidence)))),
        right=tables.variants[top] == variant,
        probability=found.variants[top],
        none=found.none,
        looks=len(evidence.looks) + len(evidence.measured) + (evidence.serial is not None),
        settled=judge(tables, evidence, found).verdict == "settled",
        variant=variant,
        named=tables.variants[top],
        differs=_differences(tables, machine, evidence, top),
    )


def again(
    rng: random.Random, subject: Subject, tables: Tables, machine: Found, how: Treatment, evidence: Evidence
) -> Evidence:
    """Look again, on its own, at each casting that the likeliest variant does not show, until two looks agree."""
    index = FamilyIndex(subject.family)
    for _ in range(MOST_LOOKS * len(tables.carriers)):
        top = posterior(tables, evidence).ranked[0]
        doubted = [each.feature for each in misfits(tables, evidence, top) if each.never_swapped]
        more = [f for f in dict.fromkeys(doubted) if _undecided(evidence, f)]
        if not more:
            return evidence
        second = tuple(look_at(rng, index, machine, feature, how) for feature in more)
        evidence = replace(evidence, looks=(*evidence.looks, *(look for look in second if look.forms)))
        if not all(look.forms for look in second):
            return evidence
    return evidence


def _undecided(evidence: Evidence, feature: str) -> bool:
    forms = [look.forms for look in evidence.looks if look.feature == feature and look.forms]
    return len(forms) < MOST_LOOKS and len(set(forms)) == len(forms)


def _fixed(tables: Tables) -> list[tuple[Carrier, int, Trait]]:
    """Carriers and traits of castings, with their place."""
    fixed = [carrier for carrier in tables.carriers if carrier.never_swapped]
    return [(c, place, tables.traits[t]) for c in fixed for place, t in enumerate(c.traits)]


def _castings(tables: Tables, machine: Found) -> tuple[Look, ...]:
    """All castings, each named right."""
    return tuple(saw(trait.id, machine.forms[trait.id]) for _, _, trait in _fixed(tables) if trait.id in machine.forms)


def _named_right(tables: Tables, machine: Found, evidence: Evidence) -> tuple[Look, ...]:
    """Castings of which the looks name what is there more often than anything else."""
    return tuple(look for look in _castings(tables, machine) if _sees(evidence, look.feature, look.forms))


def _sees(evidence: Evidence, feature: str, form: frozenset[str]) -> bool:
    looks = [look.forms for look in evidence.looks if look.feature == feature and look.forms]
    return looks.count(form) * 2 > len(looks)


def _differences(tables: Tables, machine: Found, evidence: Evidence, variant: int) -> tuple[Difference, ...]:
    classes = {f.id: f.swapped for f in tables.subject.family.features}
    found = []
    for carrier in tables.carriers:
        pattern = carrier.patterns[carrier.of_variant[variant]]
        for trait, row in zip((tables.traits[t] for t in carrier.traits), pattern, strict=True):
            form = machine.forms.get(trait.id)
            own = dict(zip(trait.answers, trait.rows[row], strict=False))
            if form is not None and not own.get(form, 0.0):
                found.append(Difference(trait.id, classes[trait.id], _sees(evidence, trait.id, frozenset((form,)))))
    return tuple(found)
