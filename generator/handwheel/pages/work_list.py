"""Which procedures and jobs a variant has, with what a list of them says."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from handwheel.pages import addresses
from handwheel.pages.here import Desk, Here
from handwheel.pages.phrases import minutes_words, sum_minutes
from handwheel.procedures.resolve import AsBuilt, Resolver
from handwheel.procedures.resolved import Resolved
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
            minutes = sum_minutes(step.act.step.minutes for step in steps)
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
