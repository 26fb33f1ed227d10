"""The whole answer in one call: which machine, how sure, what is not original, what next."""

from __future__ import annotations

from dataclasses import dataclass

from handwheel.identify.conflicts import Clash, Misfit, clashes, misfits
from handwheel.identify.evidence import Evidence
from handwheel.identify.facts import Years
from handwheel.identify.looks import Next, Plan, next_looks
from handwheel.identify.originals import PartAccount, changed_parts, doubted_looks
from handwheel.identify.posterior import Judgement, Posterior, judge, posterior
from handwheel.identify.tables import Tables
from handwheel.identify.years import span_of_years


@dataclass(frozen=True)
class Candidate:
    """One of the likeliest variants."""

    variant: str
    probability: float
    possible: bool
    """Whether a machine that can stand here shows all that was seen."""
    changed: tuple[PartAccount, ...]
    """The likeliest parts that are not original, if it is this variant."""
    misfits: tuple[Misfit, ...]


@dataclass(frozen=True)
class Answer:
    """All that the evidence tells."""

    judgement: Judgement
    posterior: Posterior
    top: tuple[Candidate, ...]
    clashes: tuple[Clash, ...]
    look_again: tuple[tuple[str, float], ...]
    """Parts whose look is likely wrong."""
    next: Next
    years: Years | None


def identify(tables: Tables, evidence: Evidence, plan: Plan | None = None, top: int = 3) -> Answer:
    """Say which machine it is, as far as the evidence goes.

    Args:
        tables: The family, from `build_tables`.
        evidence: What was seen.
        plan: What a look costs and how sure is sure enough.
        top: Number of likeliest variants to account for part by part.

    Raises:
        EvidenceError: It names something that the family does not have.
    """
    plan = plan or Plan()
    found = posterior(tables, evidence)
    judgement = judge(tables, evidence, found, plan.enough)
    likely = [v for v in found.ranked[:top] if found.variants[v] > 0]
    return Answer(
        judgement=judgement,
        posterior=found,
        top=tuple(_candidate(tables, evidence, found, v) for v in likely),
        clashes=clashes(tables, evidence),
        look_again=doubted_looks(tables, found, top),
        next=next_looks(tables, evidence, found, plan),
        years=span_of_years(tables, evidence, found, plan.enough),
    )


def _candidate(tables: Tables, evidence: Evidence, found: Posterior, v: int) -> Candidate:
    return Candidate(
        tables.variants[v],
        found.variants[v],
        found.possible[v],
        changed_parts(tables, found, v),
        misfits(tables, evidence, v),
    )
