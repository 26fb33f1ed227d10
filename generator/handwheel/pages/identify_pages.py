"""'Which machine is this?': one question at a time in the browser, over tables that the build compiled."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from markupsafe import Markup

from handwheel.identify.barred import Bar
from handwheel.identify.compile import compiled
from handwheel.identify.said import SCALE_ERROR
from handwheel.identify.subjects import names_of, plan_of, tables_for
from handwheel.identify.tables import Tables, Trait, marking_trait
from handwheel.identify.telling import EFFORTS, INSTRUMENTS, NOT_OWN, STOPS
from handwheel.machines.questions import MISSING
from handwheel.pages.addresses import page_of
from handwheel.pages.environment import rendered
from handwheel.pages.figures import figure_html
from handwheel.pages.here import Desk, Here
from handwheel.pages.key_pages import has_key, key_page_of
from handwheel.pages.phrases import years_words
from handwheel.pages.site import Asset, Page, SearchEntry
from handwheel.records.library import Library
from handwheel.records.machine_records import Family, Feature, Marking
from handwheel.records.values import Text

PATH, TITLE = "identify.html", "Which machine is this?"
LEDE = "Answer what you can see, in any order. Parts that came from elsewhere are allowed for."
SWAPPED = {
    "often": "This part is often exchanged, so it counts for less.",
    "seldom": "This part is exchanged now and then.",
    "never": "",
}


def data_path(family: str) -> str:
    """Path of the script with a family's compiled tables."""
    return f"assets/identify-{family}.js"


def identify_page(desk: Desk) -> Page:
    """The page; without a script it leads to the key on paper and the pages of the patterns."""
    here = desk.at(PATH)
    families = _families(desk.library)
    data = (data_path(each.id) for each in families)
    scripts = ["assets/elements.js", "assets/identify.js", *data, "assets/identify-page.js"]
    html = rendered(
        "identify",
        home=here.to(""),
        title=TITLE,
        lede=LEDE,
        style=here.to("assets/identify.css"),
        families=[{"name": each.name, "links": _links(here, each)} for each in families],
        scripts=[here.to(each) for each in scripts],
    )
    return Page(PATH, TITLE, html, description=LEDE, search=(SearchEntry(PATH, TITLE, LEDE),))


def identify_assets(desk: Desk) -> Iterator[Asset]:
    """The compiled tables of each family as a script, so that they load from the file system too."""
    for family in _families(desk.library):
        data = json.dumps(page_data(desk, family.id), ensure_ascii=True, separators=(",", ":"))
        text = f"(self.handwheelIdentifyData=self.handwheelIdentifyData||{{}})[{json.dumps(family.id)}]={data};\n"
        yield Asset(data_path(family.id), text.encode("ascii"))


def page_data(desk: Desk, family: str) -> dict[str, Any]:
    """All that the page shows of a family: the engine's tables, and words and pictures for people."""
    here, library = desk.at(PATH), desk.library
    tables = tables_for(library, family)
    traits = [trait for trait in tables.traits if not trait.is_marking]
    record: Family = library.families[family]
    return {
        "name": record.name,
        "about": _plain(here, record.about),
        "engine": compiled(tables, names_of(library, family), plan_of(library).seconds),
        "scaleError": SCALE_ERROR,
        "variants": {each: here.to(page_of("variants", each)) for each in tables.variants},
        "looks": {trait.id: _look(here, trait) for trait in traits},
        "places": _places(library, traits),
        "markings": {each.id: _marking(here, tables, each.id) for each in tables.subject.markings},
        "barred": [_barred(here, each) for each in names_of(library, family).barred],
        "instruments": [each.id for each in tables.instruments],
        "serialLook": record.serial_look,
        "words": {"stops": STOPS, "notOwn": NOT_OWN, "instruments": INSTRUMENTS},
    }


def _families(library: Library) -> list[Family]:
    return [each for each in library.families.values() if library.variants_of(each.id)]


def _links(here: Here, family: Family) -> list[tuple[str, str, str]]:
    library = here.library
    key = [("Key on paper", here.to(key_page_of(family.id)), "numbered questions with pictures, and neighbours apart")]
    variants = [
        (each.name, here.to(page_of("variants", each.id)), years_words(each.made))
        for each in library.variants_of(family.id)
    ]
    return [*(key if has_key(library, family.id) else []), *variants]


def _plain(here: Here, text: Text | None) -> str:
    """A text without its links, for what the script puts in."""
    return Markup(here.prose(text)).striptags()


def _look(here: Here, trait: Trait) -> dict[str, Any]:
    record: Feature = here.library.features[trait.id]
    return {
        "ask": record.ask or f"{(record.name or trait.id).capitalize()}?",
        "where": record.look,
        "how": _plain(here, record.how),
        "effort": EFFORTS[trait.effort] if trait.effort != "strip" else "taking something off",
        "swapped": SWAPPED[record.swapped],
        "answers": list(trait.answers),
        "forms": {
            form: {"name": record.forms[form].name, "figure": str(figure_html(here, record.forms[form].figure))}
            for form in trait.answers
            if form != MISSING
        },
    }


def _places(library: Library, traits: list[Trait]) -> list[dict[str, Any]]:
    """Looks by the first place to look at, in the order of the family."""
    places: dict[str, list[str]] = {}
    for trait in traits:
        look = library.features[trait.id].look
        places.setdefault(look.split(",")[0].rstrip(".") or "Elsewhere", []).append(trait.id)
    return [{"name": name, "looks": looks} for name, looks in places.items()]


def _barred(here: Here, bar: Bar) -> list[Any]:
    forms = [[feature, sorted(own)] for feature, own in bar.forms]
    return [list(bar.variants), forms, _plain(here, bar.why)]


def _marking(here: Here, tables: Tables, marking: str) -> dict[str, str]:
    record: Marking = here.library.markings[marking]
    trait = marking_trait(marking)
    return {
        "name": record.name,
        "reads": record.reads,
        "where": record.look,
        "tells": _plain(here, record.tells),
        "notTold": _plain(here, record.not_told),
        "trait": trait if any(each.id == trait for each in tables.traits) else "",
    }
