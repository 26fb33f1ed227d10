"""Watch lists: which stretches of which recordings hold for a variant, in the order of the job, and what to skip."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from handwheel.pages import addresses
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk, Here, Link
from handwheel.pages.phrases import variant_name
from handwheel.pages.site import Page, SearchEntry
from handwheel.pages.stretches import Stretch, gaps, stretches, stretches_in
from handwheel.pages.work_list import resolved
from handwheel.reading.timed_text import seconds_of
from handwheel.records.library import Library
from handwheel.records.machine_records import Variant
from handwheel.records.work_records import AREAS

Spot = tuple[int, int, int]
"""Place of a step in the order of the job: area, procedure, step."""
LAST: Spot = (len(AREAS), 0, 0)


@dataclass(frozen=True)
class Shown:
    """A step on the variant's pages."""

    spot: Spot
    step: str
    """`procedure/step`, as it is written."""
    procedure: str
    """The procedure on whose page it stands first."""
    anchor: str


@dataclass(frozen=True)
class Watched:
    """A stretch that holds, and the steps on this variant's pages that it shows."""

    stretch: Stretch
    steps: tuple[Shown, ...]

    @property
    def spot(self) -> Spot:
        """Its place in the order of the job, that of its first step there."""
        return min((each.spot for each in self.steps), default=LAST)


@dataclass(frozen=True)
class WatchList:
    """What to watch for one variant, and what to pass over."""

    watched: tuple[Watched, ...]
    """In the order of the job; what shows no step comes last."""
    skipped: tuple[Stretch, ...]

    @property
    def seconds(self) -> int:
        """Time that it takes to watch all of it."""
        return sum(each.stretch.end - each.stretch.start for each in self.watched)


def watch_list(desk: Desk, variant: str) -> WatchList:
    """Every passage, to be watched or skipped, for a variant as it left the works.

    A passage holds where its own condition does and, if it shows steps, where the variant has one of them.
    """
    known = _steps(desk.library, variant)
    watched, skipped = [], []
    for stretch in stretches(desk.library):
        here = tuple(known[step] for step in stretch.steps if step in known)
        if _may_hold(desk, variant, stretch) and (here or not stretch.steps):
            watched.append(Watched(stretch, here))
        else:
            skipped.append(stretch)
    return WatchList(tuple(sorted(watched, key=lambda each: each.spot)), tuple(skipped))


def watch_page(variant: str) -> str:
    """Path of a variant's watch list."""
    return f"on/{variant}/watch.html"


def watch_pages(desk: Desk) -> Iterator[Page]:
    """A watch list for each variant, where there are recordings at all."""
    if desk.library.of("recordings"):
        for variant in desk.library.variants.values():
            yield _page(desk, variant)


def _steps(library: Library, variant: str) -> dict[str, Shown]:
    """Each step on the variant's pages, where it stands first in the order of the job."""
    found: dict[str, Shown] = {}
    for number, procedure in enumerate(_in_order(library)):
        made = resolved(library, variant, procedure)
        if made.verdict.out or library.procedures[procedure].shared:
            continue
        area = AREAS.index(library.procedures[procedure].area)
        for position, step in enumerate(made.steps):
            if not step.act.mirrored:
                shown = Shown((area, number, position), step.act.id, procedure, step.anchor)
                found.setdefault(step.act.id, shown)
    return found


def _in_order(library: Library) -> list[str]:
    """Procedures as the fullest job has them, then the others as written."""
    fullest = max(library.jobs.values(), key=lambda job: len(job.procedures), default=None)
    return list(dict.fromkeys([*(fullest.procedures if fullest else ()), *library.procedures]))


def _may_hold(desk: Desk, variant: str, stretch: Stretch) -> bool:
    if stretch.when is None:
        return True
    has = desk.has(variant)
    return bool(has.space.mask(stretch.when.condition) & has.within)


def _page(desk: Desk, variant: Variant) -> Page:
    path = watch_page(variant.id)
    here = desk.at(path)
    found = watch_list(desk, variant.id)
    title = "Watch list"
    html = rendered(
        "watch",
        home=here.to(""),
        title=title,
        crumbs=[
            ("Home", here.to("index.html")),
            here.link("families", variant.family),
            here.link("variants", variant.id),
        ],
        bar=(variant, here.link("variants", variant.id)[1]),
        minutes=_minutes(found.seconds),
        areas=list(_areas(here, variant.id, found)),
        skips=list(_skips(here, found)),
        recordings=here.to("recordings.html"),
        place=variant.place,
    )
    name = f"{title} - {variant_name(desk.library, variant.id)}"
    lede = f"Which stretches of the recordings hold for {variant.name}, in the order of the job."
    return Page(path, name, html, description=lede, search=(SearchEntry(path, name, lede),))


def _areas(here: Here, variant: str, found: WatchList) -> Iterator[tuple[str, list[object]]]:
    areas: dict[str, list[object]] = {}
    for each in found.watched:
        area = "shows no step" if each.spot == LAST else AREAS[each.spot[0]]
        steps = list(_step_links(here, variant, each.steps))
        row = (*_when_and_where(here, each.stretch), here.prose(each.stretch.passage.says), steps)
        areas.setdefault(area, []).append(row)
    yield from areas.items()


def _step_links(here: Here, variant: str, steps: tuple[Shown, ...]) -> Iterator[Link]:
    """Each step as a link; the procedure is named once for those that follow each other."""
    before = ""
    for shown in steps:
        words = shown.step.partition("/")[2].replace("-", " ")
        title = addresses.title_of(here.library.procedures[shown.procedure])
        named = words if shown.procedure == before else f"{title}: {words}"
        yield named, here.to(addresses.work_page(variant, shown.procedure)) + f"#{shown.anchor}"
        before = shown.procedure


def _when_and_where(here: Here, stretch: Stretch) -> tuple[str, str, Link]:
    name, href = here.link("recordings", stretch.recording)
    times = f"{stretch.passage.start} to {stretch.passage.end}"
    return times, _minutes(stretch.end - stretch.start), (name, f"{href}#{stretch.anchor}")


def _skips(here: Here, found: WatchList) -> Iterator[tuple[Link, list[tuple[str, Markup | str]]]]:
    """For each recording, what to pass over and why."""
    for recording in here.library.of("recordings").values():
        skipped = [each for each in found.skipped if each.recording == recording.id]
        listed = stretches_in(here.library, recording.id)
        rows = [(each.start, f"{each.passage.start} to {each.passage.end}", _why(here, each)) for each in skipped]
        rows += [
            (seconds_of(first), f"{first} to {last}", "nothing is written down for it")
            for first, last in gaps(recording, listed)
        ]
        if rows:
            yield here.link("recordings", recording.id), [(times, why) for _, times, why in sorted(rows)]


def _why(here: Here, stretch: Stretch) -> Markup | str:
    if stretch.when is not None:
        return Markup("only on {}").format(here.when(stretch.when))
    return "shows steps that this machine does not have"


def _minutes(seconds: int) -> str:
    """Minutes and seconds in words: `4 min 10 s`; from two hours on `2 h 5 min`."""
    minutes, rest = divmod(seconds, 60)
    if minutes >= 120:
        hours, minutes = divmod(minutes, 60)
        return f"{hours} h {minutes} min" if minutes else f"{hours} h"
    return f"{minutes} min {rest} s" if minutes and rest else f"{minutes} min" if minutes else f"{rest} s"
