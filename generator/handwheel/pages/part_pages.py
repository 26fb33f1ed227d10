"""A page for each part: what it is, what holds it, what is in it and in front of it, where it is worked on."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup, escape

from handwheel.pages import addresses
from handwheel.pages.environment import rendered
from handwheel.pages.evidence_html import amounts, other_sources
from handwheel.pages.figures import figure_html
from handwheel.pages.here import Desk, Here, facts
from handwheel.pages.phrases import either, variant_name
from handwheel.pages.reach_html import ways_to
from handwheel.pages.site import Page, SearchEntry
from handwheel.procedures.presence import holders
from handwheel.procedures.wording import joined
from handwheel.records.library import Library
from handwheel.records.part_records import PartRecord
from handwheel.records.values import Case, Varies

INDEX = "parts.html"


def part_pages(desk: Desk) -> Iterator[Page]:
    """The index of parts and a page for each."""
    yield _index(desk)
    for part in desk.library.parts.values():
        yield _part_page(desk, part)


def _index(desk: Desk) -> Page:
    here = desk.at(INDEX)
    items = [
        (addresses.title_of(part), here.to(addresses.page_of("parts", part.id)), _fitted_words(desk, part))
        for part in desk.library.parts.values()
    ]
    html = rendered("part_index", home=here.to(""), items=items)
    lede = "Every part, with what holds it and what is in front of it."
    return Page(INDEX, "Parts", html, description=lede, search=(SearchEntry(INDEX, "Parts", lede),))


def _fitted_words(desk: Desk, part: PartRecord) -> str:
    """On which variants a part is fitted as they left the works; empty where all have it."""
    found, every = [], True
    for variant in desk.library.variants.values():
        has = desk.has(variant.id)
        if has.never("parts", part.id):
            every = False
        else:
            every = every and has.always("parts", part.id)
            found.append(variant_name(desk.library, variant.id) + ("" if has.always("parts", part.id) else " (some)"))
    return "" if every else f"on {joined(found)}" if found else "on no pattern as it left the works"


def _part_page(desk: Desk, part: PartRecord) -> Page:
    path = addresses.page_of("parts", part.id)
    here = desk.at(path)
    library = desk.library
    name = addresses.title_of(part)
    fitted = _fitted_words(desk, part)
    html = rendered(
        "part",
        home=here.to(""),
        name=name,
        fitted=fitted,
        note=here.prose(part.note),
        stays=here.prose(part.stays),
        figure=figure_html(here, part.figure),
        facts=_facts(here, part),
        points=here.anchors("oiling_points", (p.id for p in library.oiling_points.values() if part.id in p.between)),
        settings=here.anchors("settings", _settings(library, part)),
        ways=list(ways_to(here, part.id)),
        used=here.used_by("parts", part.id),
        place=part.place,
    )
    words = f"{name}. {part.note.raw if part.note else ''} {fitted}".strip()
    return Page(path, name, html, description=words, search=(SearchEntry(path, name, words),), source=str(part.place))


def _facts(here: Here, part: PartRecord) -> list[tuple[str, Markup]]:
    library = here.library
    inside = [each.id for each in library.parts.values() if each.inside == part.id]
    before = [each.id for each in library.parts.values() if part.id in each.behind]
    return facts(
        ("How many", part.count if part.count > 1 else ""),
        ("Comes along with", here.anchor("parts", part.inside) if part.inside else ""),
        ("In front of it", here.anchors("parts", part.behind)),
        ("It stands in front of", here.anchors("parts", before)),
        ("Held by", here.anchors("fasteners", holders(library).get(part.id, ())) or _unheld(part)),
        ("From outside in", here.anchors("parts", (layer.part for layer in part.stack))),
        ("In it", here.anchors("parts", inside)),
        ("Comes off with", either(f"{k.replace('-', ' ')} {either(s)}" for k, s in part.take_at.items())),
        ("Material", here.varies(part.material, "materials")),
        ("Finish", here.varies(part.finish, "finishes")),
        ("Mass", amounts(here, part.mass)),
        ("Mains", "carries mains when plugged in" if part.electrical else ""),
        ("Takes", amounts(here, part.watts)),
        ("Current marked on it", amounts(here, part.amps)),
        ("Marked for", _volts(here, part)),
        ("Lamp cap", here.varies(part.cap)),
        ("Greatest lamp that its holder is marked for", amounts(here, part.lamp_up_to)),
        ("Marked to carry", amounts(here, part.carries)),
        ("Cautions", here.anchors("cautions", part.hazards)),
        ("Spare", here.anchor("spares", part.spare) if part.spare else ""),
        ("Sources", here.cite(part.sources)),
        *other_sources(here, part),
    )


def _volts(here: Here, part: PartRecord) -> Markup:
    """The voltage, or both ends of it, for each case."""
    if part.volts is None:
        return Markup("")
    cases = part.volts.cases
    told = (Case(each.condition, " to ".join(volts.text for volts in each.value), each.place) for each in cases)
    return here.varies(Varies(tuple(told), part.volts.place))


def _unheld(part: PartRecord) -> Markup:
    return escape("nothing: it rests in its place" if part.rests else "what it stands in" if not part.root else "")


def _settings(library: Library, part: PartRecord) -> list[str]:
    own = {*holders(library).get(part.id, ()), part.id}
    return [each.id for each in library.settings.values() if own & set(each.held_by)]
