"""A library -> the whole site. The build compiles everything; nothing is left for a server to do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from handwheel.checks.report import Report
from handwheel.checks.runner import run
from handwheel.machines.errors import TooMany
from handwheel.pages.check_pages import check_pages
from handwheel.pages.dated import dated
from handwheel.pages.found_pages import found_assets, found_page
from handwheel.pages.here import Desk
from handwheel.pages.home_page import home_page, navigation
from handwheel.pages.identify_pages import identify_assets, identify_page
from handwheel.pages.job_pages import job_pages
from handwheel.pages.key_pages import key_pages
from handwheel.pages.machine_pages import family_pages, variant_pages
from handwheel.pages.notes_page import notes_page
from handwheel.pages.own_assets import own_assets
from handwheel.pages.part_pages import part_pages
from handwheel.pages.pictures import picture_assets
from handwheel.pages.procedure_pages import procedure_pages
from handwheel.pages.recording_pages import recording_pages
from handwheel.pages.screw_page import screw_asset, screw_page
from handwheel.pages.site import Page, Site
from handwheel.pages.stitch_page import stitch_asset, stitch_page
from handwheel.pages.table_pages import table_pages
from handwheel.pages.watch_pages import watch_pages
from handwheel.reading.history import history_of
from handwheel.reading.load import load
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library

Told = Callable[[str], None]


def make_site(folders: Sequence[Path], preview: bool = False) -> Site:
    """The site of a shop's folders; in a preview with the drafts that wait for their writer.

    Raises:
        InputErrors: the content cannot be used.
        HandwheelError: a finding stops publishing.
    """
    library = load(folders)
    report = run(library)
    raise_stops(report)
    return site_of(library, report, preview=preview)


def raise_stops(report: Report) -> None:
    """Raise a `HandwheelError` with every finding that stops publishing, if there is one."""
    if report.stops:
        told = [f"{each.place}: {each.sentence} [{each.rule}]" for each in report.stops]
        raise HandwheelError("\n".join([*told, f"{len(told)} findings stop publishing; nothing was written"]))


def make_preview(folders: Sequence[Path]) -> Site:
    """The site with its drafts."""
    return make_site(folders, preview=True)


def site_of(library: Library, report: Report, tell: Told = lambda _: None, *, preview: bool = False) -> Site:
    """The site of a library with what was found in it; `tell` hears of progress.

    Raises:
        HandwheelError: a family has more machines as it left the works than pages can tell apart.
    """
    try:
        return _site_of(library, report, tell, preview)
    except TooMany as error:
        raise HandwheelError(f"its pages cannot be made: {error}") from error


def _site_of(library: Library, report: Report, tell: Told, preview: bool) -> Site:
    desk = Desk(library, preview=preview)
    history = history_of(library.roots)
    pages = []
    for page in _pages(desk, report):
        pages.append(dated(page, history))
        if len(pages) % 250 == 0:
            tell(f"{len(pages)} pages made")
    assets = (
        *own_assets(),
        *picture_assets(library),
        screw_asset(library),
        stitch_asset(),
        *identify_assets(desk),
        *found_assets(desk),
    )
    return Site(tuple(pages), navigation(desk), assets)


def _pages(desk: Desk, report: Report) -> Iterator[Page]:
    yield home_page(desk)
    yield from family_pages(desk)
    yield identify_page(desk)
    yield found_page(desk)
    yield from key_pages(desk)
    yield from variant_pages(desk)
    yield from procedure_pages(desk)
    yield from job_pages(desk)
    yield from recording_pages(desk)
    yield from watch_pages(desk)
    yield from part_pages(desk)
    yield from table_pages(desk)
    yield screw_page(desk)
    yield stitch_page(desk)
    yield notes_page(desk)
    yield from check_pages(desk, report)
