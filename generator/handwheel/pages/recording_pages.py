"""Recordings: all of them with what they leave out; and each with its passages and the steps that they show."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from handwheel.pages import addresses
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk, Here, Link
from handwheel.pages.site import Page, SearchEntry
from handwheel.pages.stretches import Stretch, between, cues_of, never_shown, stretches, stretches_in
from handwheel.pages.watch_pages import watch_page
from handwheel.procedures.expand import expand
from handwheel.reading.timed_text import Cue, clock
from handwheel.records.work_records import Recording

INDEX = "recordings.html"


def recording_pages(desk: Desk) -> Iterator[Page]:
    """The index and a page for each recording, where there is one."""
    if desk.library.of("recordings"):
        yield _index(desk)
    for recording in desk.library.of("recordings").values():
        yield _page(desk, recording)


def _index(desk: Desk) -> Page:
    here = desk.at(INDEX)
    library = desk.library
    title = "Recordings"
    html = rendered(
        "recordings",
        home=here.to(""),
        title=title,
        recordings=[(*here.link("recordings", each.id), _about(each)) for each in library.of("recordings").values()],
        lists=[(each.name, here.to(watch_page(each.id))) for each in library.variants.values()],
        silent=[_spot(here, each) for each in stretches(library) if not each.steps],
        unseen=_unseen(here),
        count=len(never_shown(library)),
    )
    lede = "What the shop has on record, a watch list for each pattern, and what was never shown."
    return Page(INDEX, title, html, description=lede, search=(SearchEntry(INDEX, title, lede),))


def _about(recording: Recording) -> str:
    return ", ".join(
        each for each in (recording.date, recording.length, recording.about and recording.about.raw) if each
    )


def _spot(here: Here, stretch: Stretch) -> tuple[str, str, Markup]:
    name, href = here.link("recordings", stretch.recording)
    times = f"{name}, {stretch.passage.start} to {stretch.passage.end}"
    return times, f"{href}#{stretch.anchor}", here.prose(stretch.passage.says)


def _unseen(here: Here) -> list[tuple[Link, list[tuple[str, str]]]]:
    """Steps that are never shown, by procedure."""
    found: dict[str, list[str]] = {}
    for step in never_shown(here.library):
        procedure, _, name = step.partition("/")
        found.setdefault(procedure, []).append(name)
    return [
        (here.link("procedures", procedure), [_step_link(here, f"{procedure}/{name}") for name in names])
        for procedure, names in found.items()
        if not here.library.procedures[procedure].shared
    ]


def _page(desk: Desk, recording: Recording) -> Page:
    path = addresses.page_of("recordings", recording.id)
    here = desk.at(path)
    cues = cues_of(desk.library, recording)
    listed = stretches_in(desk.library, recording.id)
    html = rendered(
        "recording",
        home=here.to(""),
        recording=recording,
        about=here.prose(recording.about),
        away=recording.address.startswith(("https://", "http://")),
        passages=[
            (each, here.prose(each.passage.says), here.when(each.when), [_titled(here, step) for step in each.steps],
             [_line(cue) for cue in between(cues, each.start, each.end)])
            for each in listed
        ],
        index=here.to(INDEX),
        spoken=bool(cues),
    )  # fmt: skip
    entries = (
        SearchEntry(f"{path}#{each.anchor}", f"{recording.title}, {each.passage.start}", _said(each, cues))
        for each in listed
    )
    search = (SearchEntry(path, recording.title, recording.about.raw if recording.about else recording.title), *entries)
    return Page(path, recording.title, html, description=recording.title, search=search, source=str(recording.place))


def _said(stretch: Stretch, cues: tuple[Cue, ...]) -> str:
    says = stretch.passage.says.raw if stretch.passage.says else ""
    return " ".join([says, *(cue.text for cue in between(cues, stretch.start, stretch.end))]).strip()


def _line(cue: Cue) -> tuple[str, str, str]:
    return clock(cue.start), cue.voice, cue.text


def _titled(here: Here, reference: str) -> tuple[str, str]:
    words, href = _step_link(here, reference)
    return f"{here.link('procedures', reference.partition('/')[0])[0]}: {words}", href


def _step_link(here: Here, reference: str) -> tuple[str, str]:
    """The step's name, and where it stands on the page for every pattern."""
    procedure, _, step = reference.partition("/")
    anchors = (act.anchor for act in expand(here.library, procedure).acts if act.id == reference)
    return step.replace("-", " "), f"{here.link('procedures', procedure)[1]}#{next(anchors, step)}"
