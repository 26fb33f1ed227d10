"""A printed key for each family: numbered questions that lead to a pattern, and what tells neighbours apart."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from handwheel.identify.conflicts import Names
from handwheel.identify.key import Difference, Key, Question, Way, differences, neighbours, printed_key
from handwheel.identify.subjects import names_of, plan_of, tables_for
from handwheel.identify.tables import Tables
from handwheel.identify.telling import EFFORTS
from handwheel.pages.addresses import page_of
from handwheel.pages.environment import rendered
from handwheel.pages.figures import figure_html
from handwheel.pages.here import Desk, Here, Link
from handwheel.pages.phrases import either
from handwheel.pages.site import Page, SearchEntry
from handwheel.records.library import Library
from handwheel.records.machine_records import Family

Row = tuple[Markup, list[str], bool]
"""A look, what each of the two shows, and `False`: that they differ needs no saying here."""

CONFIRM = 3
"""Looks at castings that confirm an end of the key."""
SWAPPED = {
    "often": "This part is often exchanged. What it says counts only if the looks below agree.",
    "seldom": "This part is exchanged now and then. What it says counts only if the looks below agree.",
    "never": "",
}

ASTRAY = {"never": 1.0, "seldom": 2.0, "often": 4.0}
UNDRAWN = 2.0
"""How much dearer a question is counted; common practice, so that the key asks castings and drawn forms first."""


@dataclass(frozen=True)
class Asked:
    """A numbered question as the page shows it."""

    number: int
    ask: str
    where: str
    how: Markup
    effort: str
    swapped: str
    ways: list[Answer]


@dataclass(frozen=True)
class Answer:
    """One answer: how it looks, and where it leads."""

    forms: list[tuple[str, Markup]]
    to: int | None
    ends: list[Link]
    confirm: list[tuple[str, Markup]]
    """Looks that confirm the end, each with its drawing."""


def key_page_of(family: str) -> str:
    """Path of a family's printed key."""
    return f"keys/{family}.html"


def key_title(family: Family) -> str:
    """`Key to the Dipper on paper`."""
    return f"Which {family.name} is it? A key on paper"


def has_key(library: Library, family: str) -> bool:
    """A key needs two patterns at least."""
    return len(library.variants_of(family)) > 1


def key_pages(desk: Desk) -> Iterator[Page]:
    """A key for each family with several patterns."""
    for family in desk.library.families.values():
        if has_key(desk.library, family.id):
            yield _key_page(desk, family)


def _key_page(desk: Desk, family: Family) -> Page:
    path = key_page_of(family.id)
    here, library = desk.at(path), desk.library
    tables, names = tables_for(library, family.id), names_of(library, family.id)
    key = printed_key(tables, plan_of(library).seconds, dearer=dearer_of(library))
    title, before = key_title(family), asked_before(key)
    html = rendered(
        "key",
        home=here.to(""),
        title=title,
        family=here.link("families", family.id),
        questions=[_asked(here, tables, names, each, before[each.number]) for each in key.questions],
        unasked=_unasked(here, key, tables),
        looks=_mean(key),
        pairs=[_pair(here, names, *each) for each in neighbours(tables)],
    )
    about = f"Numbered questions that lead to the pattern of a {family.name}, to print and take to the bench."
    return Page(path, title, html, description=about, search=(SearchEntry(path, title, about),))


def dearer_of(library: Library) -> dict[str, float]:
    """A look at a part that may be another's leads astray, and words without a drawing are weighed up more slowly."""
    return {
        each.id: ASTRAY[each.swapped] * (1.0 if any(form.figure for form in each.forms.values()) else UNDRAWN)
        for each in library.features.values()
    }


def _mean(key: Key) -> str:
    """Looks that the key takes, rounded to halves: more would promise too much."""
    looks = round(key.looks * 2) / 2
    return f"{looks:g} look" if looks == 1 else f"{looks:g} looks"


def asked_before(key: Key) -> dict[int, frozenset[str]]:
    """By question: the features asked on the way to it."""
    before = {1: frozenset[str]()}
    for question in key.questions:
        onward = (way.to for way in question.ways if way.to is not None)
        before |= dict.fromkeys(onward, before[question.number] | {question.feature})
    return before


def _asked(here: Here, tables: Tables, names: Names, question: Question, before: frozenset[str]) -> Asked:
    feature = here.library.features[question.feature]
    return Asked(
        question.number,
        feature.ask or names.feature(feature.id),
        feature.look,
        here.prose(feature.how),
        EFFORTS[feature.effort],
        SWAPPED[feature.swapped],
        [_answer(here, tables, names, question.feature, way, before) for way in question.ways],
    )


def _answer(here: Here, tables: Tables, names: Names, feature: str, way: Way, before: frozenset[str]) -> Answer:
    forms = [(names.form(feature, form), _figure(here, feature, form)) for form in way.forms]
    ends = [here.link("variants", each) for each in way.variants]
    told = _confirming(tables, way.variants[0], before | {feature}) if len(way.variants) == 1 else []
    return Answer(forms, way.to, ends, [_confirmed(here, names, *each) for each in told])


def _confirmed(here: Here, names: Names, feature: str, forms: tuple[str, ...]) -> tuple[str, Markup]:
    figure = _figure(here, feature, forms[0]) if len(forms) == 1 else Markup("")
    return f"{names.feature(feature)}: {either(names.form(feature, form) for form in forms)}", figure


def _figure(here: Here, feature: str, form: str) -> Markup:
    record = here.library.features[feature].forms.get(form)
    return figure_html(here, record.figure) if record else Markup("")


def _confirming(tables: Tables, variant: str, asked: frozenset[str]) -> list[tuple[str, tuple[str, ...]]]:
    """Other glances at castings that tell a pattern from the rest: those that part it from most come first."""
    here = tables.variants.index(variant)
    apart: dict[str, tuple[int, tuple[str, ...]]] = {}
    for other in range(len(tables.variants)):
        for each in differences(tables, here, other) if other != here else ():
            if each.settles and each.never_swapped and each.effort == "glance" and each.feature not in asked:
                count, _ = apart.get(each.feature, (0, ()))
                apart[each.feature] = (count + 1, each.first)
    chosen = sorted(apart, key=lambda feature: -apart[feature][0])[:CONFIRM]
    return [(each, apart[each][1]) for each in chosen]


def _unasked(here: Here, key: Key, tables: Tables) -> list[Link]:
    """Patterns where the family has nothing at all to look at."""
    if key.questions:
        return []
    return [here.link("variants", each) for each in tables.variants]


@dataclass(frozen=True)
class Pair:
    """Two neighbours, and the looks in which they differ."""

    title: str
    columns: list[Markup]
    rows: list[Row]


def _pair(here: Here, names: Names, first: str, second: str, told: tuple[Difference, ...]) -> Pair:
    columns = [
        Markup('<a href="{}">{}</a>').format(here.to(page_of("variants", each)), names.variant(each))
        for each in (first, second)
    ]
    title = f"{names.variant(first)} or {names.variant(second)}"
    return Pair(title, columns, [_row(names, each) for each in told])


def _row(names: Names, told: Difference) -> Row:
    notes = [EFFORTS[told.effort], *(["never exchanged"] if told.never_swapped else [])]
    notes += [] if told.settles else ["does not always tell"]
    cells = [either(names.form(told.feature, form) for form in forms) for forms in (told.first, told.second)]
    name = Markup("{}<small>{}</small>").format(names.feature(told.feature), ", ".join(notes))
    return name, cells, False
