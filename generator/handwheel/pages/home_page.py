"""The first page: find the machine on the bench, then its work."""

from __future__ import annotations

from collections.abc import Iterator

from handwheel.pages import addresses, identify_pages
from handwheel.pages.environment import rendered
from handwheel.pages.here import Desk
from handwheel.pages.key_pages import has_key, key_page_of
from handwheel.pages.machine_pages import cards
from handwheel.pages.site import NavItem, Page, SearchEntry
from handwheel.records.library import Library

TABLES = (
    ("Features and looks", "features.html", "features"),
    ("Markings", "markings.html", "markings"),
    ("Parts", "parts.html", "parts"),
    ("Fasteners", "fasteners.html", "fasteners"),
    ("Settings", "settings.html", "settings"),
    ("Oiling", "oiling.html", "oiling_points"),
    ("Findings, choices and readings", "findings.html", "findings"),
    ("Tools, supplies and spares", "tools.html", "tools"),
    ("Cautions", "cautions.html", "cautions"),
    ("Agents, materials and finishes", "agents.html", "agents"),
    ("Threads", "threads.html", "threads"),
    ("What screw is this?", "screw.html", "threads"),
    ("What does this regulator sew?", "stitch.html", "limits"),
    ("Needles", "needles.html", "needles"),
    ("Limits and tests", "limits.html", "limits"),
    ("Recordings", "recordings.html", "recordings"),
    ("Claims", "claims.html", "claims"),
    ("Sources", "sources.html", "sources"),
    ("Glossary", "glossary.html", "terms"),
)


def home_page(desk: Desk) -> Page:
    """The home page."""
    path = "index.html"
    here = desk.at(path)
    library = desk.library
    shop = library.shop
    title = shop.name if shop else "Restoration notes"
    html = rendered(
        "home",
        title=title,
        about=here.prose(shop.about) if shop else "",
        invented=bool(shop and shop.invented),
        families=[
            {"link": here.link("families", each.id), "about": here.prose(each.about), "cards": cards(here, each.id)}
            for each in library.families.values()
        ],
        identify=here.to(identify_pages.PATH),
        procedures=here.to("procedures.html"),
        checks=here.to("checks.html"),
        notes=here.to("notes.html"),
        tables=[(name, address, "") for name, address, plural in TABLES if library.of(plural)],
    )
    about = shop.about.raw if shop and shop.about else title
    return Page(path, title, html, description=about, search=(SearchEntry(path, title, about),))


def navigation(desk: Desk) -> tuple[NavItem, ...]:
    """The few pages that stand in the menu; variant pages and procedures are reached from them."""
    library = desk.library
    families = tuple(
        NavItem(each.name, addresses.page_of("families", each.id), tuple(_of_family(library, each.id)))
        for each in library.families.values()
    )
    tables = tuple(NavItem(name, path) for name, path, plural in TABLES if library.of(plural))
    return (
        NavItem("Home", "index.html"),
        NavItem(identify_pages.TITLE, identify_pages.PATH),
        *families,
        NavItem("Procedures", "procedures.html"),
        NavItem("Tables", "", tables),
        NavItem("Checks", "checks.html"),
    )


def _of_family(library: Library, family: str) -> Iterator[NavItem]:
    yield NavItem("Side by side", addresses.compare_page(family))
    if has_key(library, family):
        yield NavItem("Key on paper", key_page_of(family))
