"""The shop's tables: fasteners, settings, oiling, tools, cautions, agents, threads, limits, sources, words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from handwheel.pages import library_tables as shared
from handwheel.pages import machine_tables as own
from handwheel.pages.figures import figure_html
from handwheel.pages.here import Desk, Here
from handwheel.pages.sections import Chapter, Section, chapters_page, section
from handwheel.pages.site import Page
from handwheel.pages.tally_html import TALLY_LEDE, tally_sections


def table_pages(desk: Desk) -> Iterator[Page]:
    """All pages of tables."""
    for path, title, lede, chapters in _TABLES:
        here = desk.at(path)
        made = [Chapter(name, list(_sections(here, plural, describe))) for plural, name, describe in chapters]
        if path == "needles.html" and desk.library.needles:
            made.insert(0, Chapter("All sizes", [shared.all_needles(here)]))
        yield chapters_page(desk, path, title, lede, made)
    yield _sources_page(desk)


def _sources_page(desk: Desk) -> Page:
    """Sources, with how much rests on what before them."""
    path, title = "sources.html", "Sources"
    here = desk.at(path)
    lede = "Where values and claims come from, how far each carries, and all that rests on it."
    chapters = [
        Chapter("How much rests on what", list(tally_sections(here)), TALLY_LEDE),
        Chapter("Each source", list(_sections(here, "sources", shared.source))),
    ]
    return chapters_page(desk, path, title, lede, chapters)


def _sections(here: Here, plural: str, describe: Any) -> Iterator[Section]:
    for record in here.library.of(plural).values():
        yield section(here, plural, record, describe, figure_html(here, getattr(record, "figure", "")))


_TABLES: tuple[tuple[str, str, str, tuple[tuple[str, str, Any], ...]], ...] = (
    (
        "features.html",
        "Features and looks",
        "What to look at on a machine, and the forms that it takes.",
        (("features", "Features", own.feature), ("outsiders", "Parts from outside the family", own.outsider)),
    ),
    (
        "markings.html",
        "Markings",
        "What is written on machines, with what it tells and what it does not.",
        (("markings", "Markings", own.marking),),
    ),
    (
        "findings.html",
        "Findings, choices and readings",
        "Questions answered at a step: by looking, by the owner, by an instrument.",
        (
            ("findings", "Findings", own.finding),
            ("readings", "Readings", own.reading),
            ("choices", "Choices", own.choice),
        ),
    ),
    (
        "fasteners.html",
        "Fasteners",
        "Every screw, nut and plug: what it holds, its blade, its thread, how tight.",
        (("fasteners", "Fasteners", own.fastener),),
    ),
    (
        "settings.html",
        "Settings",
        "What is set by hand, what holds it, and what right is.",
        (("settings", "Settings", own.setting), ("positions", "Positions of the works", own.position)),
    ),
    (
        "oiling.html",
        "Oiling",
        "Each point with its lubricant and dose.",
        (("oiling_points", "Points", own.point), ("lubricants", "Classes of lubricant", shared.lubricant)),
    ),
    (
        "tools.html",
        "Tools, supplies and spares",
        "What to lay out, what is used up, what can be bought.",
        (
            ("tools", "Tools", shared.tool),
            ("blades", "Blades", shared.blade),
            ("supplies", "Supplies", shared.supply),
            ("spares", "Spares", shared.spare),
            ("items", "What comes in with a machine", own.item),
        ),
    ),
    (
        "cautions.html",
        "Cautions",
        "The safety messages, gravest first. Local codes and licensed practice go before all of them.",
        (("cautions", "Cautions", shared.caution), ("prohibitions", "Never", own.prohibition)),
    ),
    (
        "agents.html",
        "Agents, materials and finishes",
        "What cleans what, and what it must never touch.",
        (
            ("agents", "Agents", shared.agent),
            ("materials", "Materials", shared.material),
            ("finishes", "Finishes", shared.material),
        ),
    ),
    ("threads.html", "Threads", "Screw threads met at this bench.", (("threads", "Threads", shared.thread),)),
    (
        "needles.html",
        "Needles",
        "Sizes by both numbers, with the blade that a micrometer finds. The system of a needle is told by its machine.",
        (("needles", "Sizes", shared.needle),),
    ),
    (
        "limits.html",
        "Limits and tests",
        "Named limits that readings and lifts are judged against. A reading within a limit is a record, not a verdict.",
        (("limits", "Limits", shared.limit), ("proofs", "Tests at hand-over", own.proof)),
    ),
    (
        "claims.html",
        "Claims",
        "What the shop holds true, how far, and on what it rests.",
        (("claims", "Claims", own.claim),),
    ),
    ("glossary.html", "Glossary", "Words of the trade.", (("terms", "Words", shared.term),)),
)
