"""Recordings: their passages in order, for which machines each holds, and the steps that it shows."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from handwheel.pages import addresses
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk, Here
from handwheel.pages.site import Page, SearchEntry
from handwheel.procedures.expand import expand
from handwheel.records.work_records import Passage, Recording


def recording_pages(desk: Desk) -> Iterator[Page]:
    """A page for each recording."""
    for recording in desk.library.of("recordings").values():
        yield _page(desk, recording)


def _page(desk: Desk, recording: Recording) -> Page:
    path = addresses.page_of("recordings", recording.id)
    here = desk.at(path)
    html = rendered(
        "recording",
        home=here.to(""),
        recording=recording,
        about=here.prose(recording.about),
        passages=[
            (each, here.prose(each.says), here.when(each.when), list(_steps(here, each))) for each in recording.passages
        ],
    )
    said = " ".join(each.says.raw for each in recording.passages if each.says)
    return Page(path, recording.title, html, description=recording.title,
                search=(SearchEntry(path, recording.title, said),), source=str(recording.place))  # fmt: skip


def _steps(here: Here, passage: Passage) -> Iterator[Markup]:
    for reference in passage.shows:
        procedure, _, step = reference.partition("/")
        anchors = (act.anchor for act in expand(here.library, procedure).acts if act.id == reference)
        anchor = next(anchors, step)
        name, href = here.link("procedures", procedure)
        yield Markup('<a href="{}#{}">{}: {}</a>').format(href, anchor, name, step.replace("-", " "))
