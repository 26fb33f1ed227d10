"""Families, variants, and variants side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape

from handwheel.evidence.verdict import both
from handwheel.pages import addresses
from handwheel.pages.electrics_html import electrics_facts
from handwheel.pages.environment import rendered
from handwheel.pages.evidence_html import other_sources
from handwheel.pages.figures import figure_html
from handwheel.pages.here import Desk, Here, Link, facts, listed
from handwheel.pages.key_pages import has_key, key_page_of
from handwheel.pages.lifting_html import lifting_facts
from handwheel.pages.measured_html import measured_on
from handwheel.pages.phrases import block_words, either, question_name, variant_name, years_words
from handwheel.pages.site import Page, SearchEntry, TocEntry
from handwheel.pages.watch_pages import watch_page
from handwheel.pages.work_list import Work, jobs_for, work_for
from handwheel.procedures.existence import Existence
from handwheel.procedures.wording import state_words
from handwheel.records.library import Library
from handwheel.records.machine_records import Family, Variant
from handwheel.records.part_records import Fastener
from handwheel.records.work_records import AREAS

Row = tuple[str, list[Markup], bool]


@dataclass(frozen=True)
class Difference:
    """A feature in which a variant differs from its neighbour."""

    name: str
    here: str
    there: str


def forms_words(library: Library, variant: Variant, feature: str) -> str:
    """A variant's original forms of a feature; `not known` where it names none."""
    forms = variant.features.get(feature)
    if forms is None:
        return "not known"
    return either(state_words(library, feature, form, True) for form in forms)


def features_of(library: Library, family: str) -> list[str]:
    """Features that any variant of the family names, in the order of the library."""
    named = {feature for each in library.variants_of(family) for feature in each.features}
    return [feature for feature in library.features if feature in named]


def differences(library: Library, one: Variant, other: Variant) -> list[Difference]:
    """Features in which two variants left the works with other forms, the easiest look first."""
    effort = {"glance": 0, "tool": 1, "strip": 2}
    found = [each for each in features_of(library, one.family) if one.features.get(each) != other.features.get(each)]
    found.sort(key=lambda each: effort[library.features[each].effort])
    return [
        Difference(question_name(library, each), forms_words(library, one, each), forms_words(library, other, each))
        for each in found
    ]


def family_pages(desk: Desk) -> Iterator[Page]:
    """A page for each family, and one with its variants side by side."""
    for family in desk.library.families.values():
        yield _family_page(desk, family)
        yield _compare_page(desk, family)


def cards(here: Here, family: str) -> list[dict[str, object]]:
    """Variants to choose from, each with what tells it from its neighbours."""
    variants = here.library.variants_of(family)
    return [
        {
            "title": each.name,
            "href": here.to(addresses.page_of("variants", each.id)),
            "years": years_words(each.made),
            "tells": [here.prose(text) for text in each.tell[:3]] or _tells(here.library, each, variants),
            "figure": figure_html(here, each.figure),
        }
        for each in variants
    ]


def _tells(library: Library, variant: Variant, variants: tuple[Variant, ...]) -> list[str]:
    """Forms that set it apart, where the shop has not said it in its own words."""
    apart = [
        each
        for each in features_of(library, variant.family)
        if any(other.features.get(each) != variant.features.get(each) for other in variants)
    ]
    return [f"{question_name(library, each)}: {forms_words(library, variant, each)}" for each in apart[:3]]


def _family_page(desk: Desk, family: Family) -> Page:
    path = addresses.page_of("families", family.id)
    here = desk.at(path)
    library = desk.library
    html = rendered(
        "family",
        home=here.to(""),
        family=family,
        about=here.prose(family.about),
        cards=cards(here, family.id),
        groups=_groups(here, family.id),
        compare=here.to(addresses.compare_page(family.id)),
        key=here.to(key_page_of(family.id)) if has_key(library, family.id) else "",
        barred=[(here.when(each.when), here.prose(each.why)) for each in family.cannot_stand],
        markings=[here.link("markings", each) for each in _markings(library, family.id)],
        claims=[here.link("claims", each) for each in library.of("claims")],
        sources=here.cite(family.sources),
    )
    words = f"{family.name} {family.maker}. " + ", ".join(each.name for each in library.variants_of(family.id))
    return Page(path, family.name, html, description=words, search=(SearchEntry(path, family.name, words),))


def _groups(here: Here, family: str) -> list[tuple[str, str, Markup]]:
    library = here.library
    return [
        (
            each.name,
            f"{variant_name(library, each.first)} to {variant_name(library, each.last)}",
            here.prose(each.about),
        )
        for each in library.groups.values()
        if library.variants[each.first].family == family
    ]


def _markings(library: Library, family: str) -> list[str]:
    return list(dict.fromkeys(mark for each in library.variants_of(family) for mark in each.markings))


def variant_pages(desk: Desk) -> Iterator[Page]:
    """A page for each variant."""
    for variant in desk.library.variants.values():
        yield _variant_page(desk, variant)


def _variant_page(desk: Desk, variant: Variant) -> Page:
    path = addresses.page_of("variants", variant.id)
    here = desk.at(path)
    html = rendered(
        "variant",
        home=here.to(""),
        variant=variant,
        family=here.link("families", variant.family),
        about=here.prose(variant.about),
        figure=figure_html(here, variant.figure),
        facts=facts(
            ("Made", years_words(variant.made)),
            ("Mass of the bare head", both(variant.mass) if variant.mass else "not known"),
            (
                "Serial numbers",
                Markup("<br>").join(escape(block_words(each)) for each in variant.serials) or "not known",
            ),
            ("Sources", here.cite(variant.sources)),
            *other_sources(here, variant),
        ),
        tell=listed(here.prose(each) for each in variant.tell),
        right=listed([*map(here.prose, variant.right), *_of_forms(here, variant, "right")]),
        never=listed([*map(here.prose, variant.never), *_of_forms(here, variant, "never")]),
        features=_feature_rows(here, variant),
        neighbours=_neighbours(here, variant),
        work=_by_area(work_for(desk, variant.id, here)),
        jobs=jobs_for(desk, variant.id, here),
        markings=[here.link("markings", each) for each in variant.markings],
        compare=here.to(addresses.compare_page(variant.family)),
        watch=here.to(watch_page(variant.id)) if desk.library.of("recordings") else "",
        lifting=lifting_facts(here, variant),
        electrics=electrics_facts(here, variant),
        measured=measured_on(here, variant.id),
        tables=_tables(here, desk.has(variant.id)),
    )
    about = variant.about.raw if variant.about else variant.name
    toc = tuple(TocEntry(anchor, title) for anchor, title in _TOC if f'<h2 id="{anchor}"' in html)
    return Page(path, variant.name, html, toc, about, (SearchEntry(path, variant.name, about),), str(variant.place))


_TOC = (
    ("tell", "How to tell it"),
    ("work", "Work on it"),
    ("features", "As it left the works"),
    ("right", "What right looks like"),
    ("never", "What it never had"),
    ("measured", "Measured in this shop"),
    ("lifting", "Lifting it"),
    ("electrics", "What it takes from the mains"),
    ("neighbours", "Its neighbours"),
    ("written", "What is written on it"),
    ("made-of", "Parts, fasteners, settings, oiling"),
)


def _of_forms(here: Here, variant: Variant, which: str) -> Iterator[Markup]:
    """What its only forms say of right and never."""
    for feature, forms in variant.features.items():
        form = here.library.features[feature].forms[forms[0]]
        text = getattr(form, which)
        if len(forms) == 1 and text is not None:
            yield here.prose(text)


def _feature_rows(here: Here, variant: Variant) -> list[tuple[Markup, str, Markup]]:
    library = here.library
    rows = []
    for each in features_of(library, variant.family):
        forms = variant.features.get(each, ())
        figure = figure_html(here, library.features[each].forms[forms[0]].figure) if len(forms) == 1 else Markup("")
        name = Markup('<a href="{}">{}</a>').format(
            here.to(addresses.page_of("features", each)), question_name(library, each)
        )
        words = either(library.features[each].forms[form].name for form in forms) or "not known"
        rows.append((name, words, figure))
    return rows


def _neighbours(here: Here, variant: Variant) -> list[tuple[Link, list[Difference]]]:
    variants = here.library.variants_of(variant.family)
    at = variants.index(variant)
    near = [variants[i] for i in (at - 1, at + 1) if 0 <= i < len(variants)]
    return [(here.link("variants", each.id), differences(here.library, variant, each)) for each in near]


def _by_area(work: Iterable[Work]) -> list[tuple[str, list[Work]]]:
    areas: dict[str, list[Work]] = {}
    for each in work:
        areas.setdefault(each.area, []).append(each)
    return sorted(areas.items(), key=lambda each: AREAS.index(each[0]))


def _tables(here: Here, has: Existence) -> list[tuple[str, Markup]]:
    kinds = (("Parts", "parts"), ("Fasteners", "fasteners"), ("Settings", "settings"), ("Oiling", "oiling_points"))
    return [(title, _present(here, plural, has)) for title, plural in kinds]


def _present(here: Here, plural: str, has: Existence) -> Markup:
    always = [each for each in here.library.of(plural) if has.always(plural, each)]
    perhaps = [each for each in here.library.of(plural) if has.sometimes(plural, each)]
    made = here.anchors(plural, always) if always else Markup("none known")
    return made + (Markup("; on some: ") + here.anchors(plural, perhaps) if perhaps else Markup(""))


def _compare_page(desk: Desk, family: Family) -> Page:
    path = addresses.compare_page(family.id)
    here = desk.at(path)
    library = desk.library
    variants = library.variants_of(family.id)
    title = f"{family.name}: patterns side by side"
    html = rendered(
        "compare",
        home=here.to(""),
        title=title,
        family=here.link("families", family.id),
        columns=[
            Markup('<a href="{}">{}</a>').format(here.link("variants", each.id)[1], variant_name(library, each.id))
            for each in variants
        ],
        tables=[
            ("Features", "features", _feature_table(here, variants)),
            ("Parts", "parts", _presence_table(here, "parts", variants)),
            ("Fasteners", "fasteners", _presence_table(here, "fasteners", variants)),
            ("Settings", "settings", _presence_table(here, "settings", variants)),
            ("Procedures", "procedures", _step_table(here, variants)),
        ],
    )
    return Page(path, title, html, description=title, search=(SearchEntry(path, title, title),))


def _feature_table(here: Here, variants: tuple[Variant, ...]) -> list[Row]:
    rows = []
    for each in features_of(here.library, variants[0].family) if variants else []:
        cells = [forms_words(here.library, variant, each) for variant in variants]
        rows.append(_row(question_name(here.library, each), [escape(cell) for cell in cells]))
    return rows


def _row(name: str, cells: list[Markup]) -> Row:
    return name, cells, len(set(cells)) > 1


def _presence_table(here: Here, plural: str, variants: tuple[Variant, ...]) -> list[Row]:
    found = [here.desk.has(each.id) for each in variants]
    rows = []
    for each in here.library.of(plural).values():
        cells = [_presence(plural, each, has) for has in found]
        if any(cell != "-" for cell in cells):
            rows.append(_row(addresses.title_of(each), cells))
    return rows


def _presence(plural: str, record: Any, has: Existence) -> Markup:
    identifier = record.id
    if has.never(plural, identifier):
        return Markup("-")
    words = _value(record, has) if plural in ("fasteners", "settings") else ""
    return escape((words or "yes") + (" on some" if has.sometimes(plural, identifier) else ""))


def _value(record: Any, has: Existence) -> str:
    """How tight, or what right is: the value that the pattern has."""
    value = record.tighten if isinstance(record, Fastener) else record.target
    return either(dict.fromkeys(getattr(each, "text", each) for each in has.values(value)))


def _step_table(here: Here, variants: tuple[Variant, ...]) -> list[Row]:
    """Procedures with the number of their steps on each variant; the number leads to the page."""
    each_work = [{work.id: work for work in work_for(here.desk, each.id, here)} for each in variants]
    rows = []
    for procedure in here.library.procedures.values():
        cells = [_steps_cell(works.get(procedure.id)) for works in each_work]
        if any(cell != "-" for cell in cells):
            texts = [works[procedure.id].anchors if procedure.id in works else () for works in each_work]
            rows.append((addresses.title_of(procedure), cells, len(set(texts)) > 1))
    return rows


def _steps_cell(work: Work | None) -> Markup:
    if work is None:
        return Markup("-")
    return Markup('<a href="{}">{} steps</a>').format(work.href, work.count) if work.count else Markup("nothing to do")
