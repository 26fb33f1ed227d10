"""From a shop's folder to a site in place: check, sources, build, links, place. No stage is passed over unsaid."""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, field
from pathlib import Path

from handwheel.checks.report import Report
from handwheel.checks.runner import run
from handwheel.checks.telling import summary
from handwheel.desk.link_walk import walking
from handwheel.desk.outside_links import Outside, outside_links
from handwheel.desk.placing import KEEP, LOCK, Place, clean, prepare, put, room
from handwheel.desk.site_links import BuiltSite, bad_links
from handwheel.desk.source_tally import tally_of
from handwheel.desk.taking_turns import alone
from handwheel.desk.whole_folders import told
from handwheel.pages.build import site_of
from handwheel.pages.site import Site
from handwheel.records.errors import HandwheelError
from handwheel.records.library import Library

DONE, STOPPED, NOT_RUN, NOT_ASKED = "done", "stopped", "not run", "not asked for"
STAGES = ("check", "sources", "build", "links inside", "links outside", "place")
Build = Callable[[Site, Path], object]
"""Puts the pages into their frame, in a folder."""


@dataclass(frozen=True)
class Stage:
    """How one stage went."""

    name: str
    outcome: str
    lines: tuple[str, ...] = ()
    seconds: float = 0.0


@dataclass(frozen=True)
class Wish:
    """What is asked for."""

    place: Place | None = None
    """Where to put the site; None: nothing is put anywhere."""
    keep: int = KEEP
    wait: float = 0.0
    walk: bool = True
    """Whether LinkChecker walks the site, too; our own reading of every page is never left out."""
    base: str = "/"
    """Where the site stands on its server."""
    outside: Outside | None = None
    """How to ask for the links to other hosts; None: they are not asked for."""


@dataclass
class Publishing:
    """The work under way."""

    library: Library
    build: Build
    wish: Wish
    tell: Callable[[str], None] = lambda _: None
    stages: list[Stage] = field(default_factory=list)
    report: Report = field(default_factory=Report)

    @property
    def went_well(self) -> bool:
        """Whether nothing stopped it."""
        return all(each.outcome in (DONE, NOT_ASKED) for each in self.stages)

    def run(self) -> tuple[Stage, ...]:
        """Go through the stages; those after one that stops are told as not run."""
        with _refused_in_words():
            place = self.wish.place
            if place:
                prepare(place)
            turn = alone(place.releases / LOCK, self.wish.wait) if place else nullcontext()
            with turn, self._room(place) as built:
                self._all(built)
        run_so_far = {each.name for each in self.stages}
        self.stages.extend(Stage(name, NOT_RUN) for name in STAGES if name not in run_so_far)
        return tuple(self.stages)

    def _all(self, built: Path) -> None:
        work = (self._check, self._sources, self._build, self._inside, self._outside, self._place)
        for name, stage in zip(STAGES, work, strict=True):
            self.tell(f"{name} ...")
            start = time.perf_counter()
            outcome, lines = stage(built)
            self.stages.append(Stage(name, outcome, tuple(lines), time.perf_counter() - start))
            if outcome == STOPPED:
                return

    def _check(self, _: Path) -> tuple[str, list[str]]:
        self.report = run(self.library)
        stops = [f"{each.place}: {each.sentence} [{each.rule}]" for each in self.report.stops]
        return STOPPED if stops else DONE, [*summary(self.report).splitlines(), *stops]

    def _sources(self, _: Path) -> tuple[str, list[str]]:
        return DONE, list(tally_of(self.library, tuple(self.library.roots)[-1:]).lines)

    def _build(self, built: Path) -> tuple[str, list[str]]:
        site = site_of(self.library, self.report, self.tell)
        self._sources_of_pages = {page.path: page.source for page in site.pages if page.source}
        self.build(site, built)
        return DONE, [f"{len(site.pages)} pages"]

    def _inside(self, built: Path) -> tuple[str, list[str]]:
        self._site = BuiltSite(built, self.wish.base)
        with walking(built) if self.wish.walk else nullcontext() as walk:
            found = bad_links(self._site, self._sources_of_pages)
            known = {(each.page, each.target) for each in found}
            walked = walk.bad(self._sources_of_pages) if walk else []
            found += [each for each in walked if (each.page, each.target) not in known]
        counted = (
            f"{sum(1 for _ in self._site.links)} links on {len(self._site.pages)} pages, {len(found)} lead nowhere"
        )
        by = "" if self.wish.walk else "; LinkChecker's walk was not asked for"
        return STOPPED if found else DONE, [counted + by, *(each.sentence for each in found)]

    def _outside(self, _: Path) -> tuple[str, list[str]]:
        if not self.wish.outside:
            return NOT_ASKED, []
        answer = outside_links(self._site, self.wish.outside, self._sources_of_pages)
        return STOPPED if answer.bad else DONE, list(answer.lines)

    def _place(self, built: Path) -> tuple[str, list[str]]:
        if not self.wish.place:
            return NOT_ASKED, []
        placed = put(self.wish.place, built, self.wish.keep)
        if not placed.changed:
            return DONE, [f"{self.wish.place.target} serves the same files already ({placed.release.name})"]
        dropped = [f"taken away: {each.name}" for each in placed.dropped]
        return DONE, [f"{self.wish.place.target} serves {placed.release.name}", *dropped]

    @contextmanager
    def _room(self, place: Place | None) -> Iterator[Path]:
        """A folder to build into, gone at the end."""
        left = clean(place) if place else 0
        if left:
            self.tell(f"{left} left over from a run that was cut short, taken away")
        made = room(place) if place else Path(tempfile.mkdtemp(prefix="handwheel-"))
        try:
            yield made
        finally:
            shutil.rmtree(made, ignore_errors=True)


@contextmanager
def _refused_in_words() -> Iterator[None]:
    """A full disk or a closed folder is told in a line."""
    try:
        yield
    except OSError as error:
        raise HandwheelError(f"{told(error)}; what is served is as it was") from None
