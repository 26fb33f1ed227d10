"""Which procedures and jobs a variant has, with what a list of them says."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from handwheel.pages import addresses
from handwheel.pages.here import Desk, Here
from handwheel.pages.phrases import minutes_words, sum_minutes
from handwheel.procedures.resolve import AsBuilt, Resolver
from handwheel.procedures.resolved import Alternatives, Group, Reaching, Repeated, Resolved, ResolvedItem, ResolvedStep
from handwheel.records.library import Library
from handwheel.records.values import Minutes
from handwheel.records.work_records import Job


@dataclass(frozen=True)
class Work:
    """One procedure on a variant."""

    id: str
    title: str
    area: str
    href: str
    count: int
    minutes: Minutes | None
    anchors: tuple[str, ...]

    @property
    def note(self) -> str:
        """Steps and minutes in words."""
        if not self.count:
            return "nothing to do on it"
        steps = f"{self.count} step{'' if self.count == 1 else 's'}"
        return f"{steps}, {minutes_words(self.minutes)}" if self.minutes else steps


@lru_cache(maxsize=256)
def resolver(library: Library, family: str) -> Resolver:
    """One resolver a family, since it keeps what many machines share."""
    return Resolver(library, family)


@lru_cache(maxsize=100_000)
def resolved(library: Library, variant: str, procedure: str) -> Resolved:
    """A procedure for a variant as it left the works."""
    return resolver(library, library.variants[variant].family).resolve(procedure, AsBuilt(variant))


def minutes_of(items: Iterable[ResolvedItem]) -> Minutes | None:
    """Minutes of items: of alternatives one is done, a repeat is done at least once and at most so often."""
    return sum_minutes(_minutes_of(item) for item in items)


def _minutes_of(item: ResolvedItem) -> Minutes | None:
    match item:
        case ResolvedStep():
            minutes: Minutes | None = item.act.step.minutes
            return minutes
        case Group(items=items):
            return _one_of([minutes_of(items), None])
        case Alternatives(arms=arms):
            return _one_of([minutes_of(arm.items) for arm in arms])
        case Repeated(at_most=most, items=items):
            once = minutes_of(items)
            return once and Minutes(once.low, once.likely, once.high * most)
        case Reaching(items=items):
            return minutes_of(items)


def _one_of(each: list[Minutes | None]) -> Minutes | None:
    """The span of the alternatives; as likely, their mean, since nothing says which it will be."""
    if not any(each):
        return None
    full = [minutes or Minutes(0, 0, 0) for minutes in each]
    likely = sum(m.likely for m in full) / len(full)
    return Minutes(min(m.low for m in full), round(likely, 1), max(m.high for m in full))


def work_for(desk: Desk, variant: str, here: Here) -> list[Work]:
    """All procedures that a variant has, in the order written."""
    found = []
    for procedure in desk.library.procedures.values():
        if procedure.shared:
            continue
        made = resolved(desk.library, variant, procedure.id)
        if not made.verdict.out:
            href = here.to(addresses.work_page(variant, procedure.id))
            steps = made.steps
            minutes = minutes_of(made.items)
            anchors = tuple(step.anchor for step in steps)
            title = addresses.title_of(procedure)
            found.append(Work(procedure.id, title, procedure.area, href, len(steps), minutes, anchors))
    return found


def has_job(desk: Desk, variant: str, job: Job) -> bool:
    """Whether a variant can have a job."""
    if job.when is None:
        return True
    has = desk.has(variant)
    return bool(has.space.mask(job.when.condition) & has.within)


def jobs_for(desk: Desk, variant: str, here: Here) -> list[tuple[str, str, str]]:
    """All jobs that a variant can have: title, address, what the owner gets."""
    return [
        (job.title, here.to(addresses.job_page(variant, job.id)), job.about.raw if job.about else "")
        for job in desk.library.jobs.values()
        if has_job(desk, variant, job)
    ]
