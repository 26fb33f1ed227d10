"""Where each record stands in the site: its page, its anchor, its name. Stable: made of ids, never of positions."""

from __future__ import annotations

from handwheel.records.called import mark_of
from handwheel.records.kinds import KINDS, Record
from handwheel.records.library import Library

OWN_PAGE = {
    "families": "families",
    "variants": "variants",
    "parts": "parts",
    "procedures": "procedures",
    "jobs": "jobs",
    "recordings": "recordings",
}
"""Kinds whose records have a page each, with its folder."""

ON_PAGE = {
    "features": "features",
    "markings": "markings",
    "outsiders": "features",
    "findings": "findings",
    "choices": "findings",
    "readings": "findings",
    "fasteners": "fasteners",
    "settings": "settings",
    "oiling_points": "oiling",
    "tools": "tools",
    "blades": "tools",
    "supplies": "tools",
    "spares": "tools",
    "items": "tools",
    "cautions": "cautions",
    "prohibitions": "cautions",
    "agents": "agents",
    "materials": "agents",
    "finishes": "agents",
    "lubricants": "oiling",
    "threads": "threads",
    "needles": "needles",
    "limits": "limits",
    "proofs": "limits",
    "positions": "settings",
    "sources": "sources",
    "terms": "glossary",
    "claims": "claims",
    "groups": "families",
}
"""Kinds whose records stand together on one page, each with an anchor."""


def page_of(plural: str, identifier: str) -> str:
    """Path of the page that tells of a record, with its anchor; empty for kinds that no page shows."""
    if plural in OWN_PAGE:
        return f"{OWN_PAGE[plural]}/{identifier}.html"
    if plural in ON_PAGE:
        return f"{ON_PAGE[plural]}.html#{anchor_of(plural, identifier)}"
    return ""


def anchor_of(plural: str, identifier: str) -> str:
    """Anchor of a record that shares a page; kinds that share one page do not share anchors."""
    return f"{KINDS[plural].singular.replace(' ', '-')}-{identifier}"


def work_page(variant: str, procedure: str) -> str:
    """Path of a procedure's page for a variant."""
    return f"on/{variant}/{procedure}.html"


def job_page(variant: str, job: str) -> str:
    """Path of a job's page for a variant."""
    return f"on/{variant}/job-{job}.html"


def compare_page(family: str) -> str:
    """Path of the page that sets a family's variants side by side."""
    return f"compare/{family}.html"


def name_of(record: Record) -> str:
    """What a record is called in a sentence: its name, title or question, else its id; a thread with its mark."""
    for label in ("name", "title", "ask", "offer", "hazard", "caption"):
        said = getattr(record, label, "")
        if said:
            return str(said) + mark_of(record)
    return record.id.replace("-", " ") + mark_of(record)


def title_of(record: Record) -> str:
    """The name with a capital, as a heading has it."""
    name = name_of(record)
    return name[:1].upper() + name[1:]


def find_page(library: Library, identifier: str) -> tuple[str, str] | None:
    """Page and name of the first record that bears an id; None where nothing shows it."""
    for plural, record in library.find(identifier):
        path = page_of(plural, identifier)
        if path:
            return path, name_of(record)
    return None
