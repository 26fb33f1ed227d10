"""Jobs: a page for each variant with its procedures in order, and one that leads to them."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.pages import addresses
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk, Fact, Here, facts
from handwheel.pages.phrases import minutes_words, sum_minutes, variant_name
from handwheel.pages.site import Page, SearchEntry
from handwheel.pages.work_list import Work, has_job, work_for
from handwheel.records.machine_records import Variant
from handwheel.records.work_records import Job

_STARTS = {
    "in-order": "in order: all in place, tight, set and oiled",
    "neglected": "neglected: settings lost, points dry and gummed",
}


def job_pages(desk: Desk) -> Iterator[Page]:
    """Pages of all jobs."""
    for job in desk.library.jobs.values():
        variants = [each for each in desk.library.variants.values() if has_job(desk, each.id, job)]
        yield _overview(desk, job, variants)
        for variant in variants:
            yield _for_variant(desk, variant, job)


def _overview(desk: Desk, job: Job, variants: list[Variant]) -> Page:
    path = addresses.page_of("jobs", job.id)
    here = desk.at(path)
    html = rendered(
        "job",
        crumbs=[("Home", here.to("index.html"))],
        job=job,
        about=here.prose(job.about),
        bar=None,
        facts=_facts(here, job),
        choose=[
            (variant_name(desk.library, each.id), here.to(addresses.job_page(each.id, job.id))) for each in variants
        ],
        works=[],
        procedures=[(*here.link("procedures", each), "") for each in job.procedures],
        total="",
        place=job.place,
    )
    about = job.about.raw if job.about else job.title
    return Page(path, job.title, html, description=about, search=(SearchEntry(path, job.title, about),))


def _facts(here: Here, job: Job) -> list[Fact]:
    outcomes = [outcome.name or name.replace("-", " ") for name, outcome in job.outcomes.items()]
    return facts(
        ("Sort", job.form),
        ("The machine comes in", _STARTS[job.start]),
        ("It may also end as", "; ".join(outcomes)),
        ("Only on", here.when(job.when)),
    )


def _for_variant(desk: Desk, variant: Variant, job: Job) -> Page:
    path = addresses.job_page(variant.id, job.id)
    here = desk.at(path)
    by_id = {work.id: work for work in work_for(desk, variant.id, here)}
    works: list[Work] = [by_id[each] for each in job.procedures if each in by_id]
    html = rendered(
        "job",
        crumbs=[
            ("Home", here.to("index.html")),
            here.link("families", variant.family),
            here.link("variants", variant.id),
        ],
        job=job,
        about=here.prose(job.about),
        bar=(variant, here.link("variants", variant.id)[1]),
        facts=_facts(here, job),
        choose=[],
        works=works,
        procedures=[],
        total=minutes_words(sum_minutes(work.minutes for work in works)),
        place=job.place,
    )
    title = f"{job.title} - {variant_name(desk.library, variant.id)}"
    return Page(path, title, html, description=job.title, source=str(job.place))
