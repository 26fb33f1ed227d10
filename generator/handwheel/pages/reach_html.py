"""How a part is reached, for each group of machines on which the answer is the same."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from handwheel.machines.masks import lowest
from handwheel.machines.space import Space
from handwheel.pages.addresses import page_of
from handwheel.pages.here import Fact, Here, facts
from handwheel.pages.phrases import minutes_words, variant_name
from handwheel.pages.prose_html import pieces_html
from handwheel.pages.step_html import caution_box
from handwheel.procedures.hazards import cautions_of, gravest_first
from handwheel.procedures.reach_groups import Group, Reached, reach_in
from handwheel.procedures.reach_words import Said, chapters, minutes_of, tools_of
from handwheel.procedures.wording import condition_words, joined


@dataclass(frozen=True)
class Way:
    """One block: the machines, and how the part is reached on them."""

    machines: str
    """All of them, by variant, and by form where a variant left the works with several ways."""
    facts: list[Fact]
    cautions: list[Markup]
    """Safety messages of all its steps, gravest first: they stand before the first of them."""
    chapters: list[tuple[str, list[Markup]]]
    missing: tuple[str, ...]


def ways_to(here: Here, part: str) -> Iterator[Way]:
    """One block for each answer, in the order of the variants; every machine that left the works is in one."""
    found: dict[tuple[object, ...], list[_On]] = {}
    for variant in here.library.variants.values():
        has = here.desk.has(variant.id)
        reached = reach_in(here.library, has.space, has.mask("parts", part), part, verify=False)
        for group in reached.groups:
            if group.plan.off or group.plan.missing:
                mine = found.setdefault((variant.family, *group.plan.key), [])
                mine.append(_On(variant.id, group, reached.space, _which(here, group, reached)))
    for machines in found.values():
        yield _way(here, machines)


@dataclass(frozen=True)
class _On:
    """Machines of one variant on which the answer is the same."""

    variant: str
    group: Group
    space: Space
    which: str
    """Which of the variant's machines, in words; empty for all that have the part."""


def _which(here: Here, group: Group, reached: Reached) -> str:
    if len(reached.groups) == 1:
        return ""
    return condition_words(here.library, group.condition) if group.condition else "some; too mixed to name"


def _names(here: Here, machines: Iterable[_On]) -> str:
    """Variants, those together of which the same machines are meant."""
    found: dict[str, list[str]] = {}
    for each in machines:
        found.setdefault(each.which, []).append(variant_name(here.library, each.variant))
    return "; ".join(joined(names) + (f" ({which})" if which else "") for which, names in found.items())


def _way(here: Here, machines: list[_On]) -> Way:
    first = machines[0]
    plan = first.group.plan
    told = list(chapters(here.library, first.space, 1 << lowest(first.group.machines), plan))
    met = dict.fromkeys(each for c in told for said in c.steps for each in cautions_of(here.library, said.act.step))
    return Way(
        _names(here, machines),
        facts(
            ("Comes off", here.anchors("parts", plan.parts_off)),
            ("Then lost", here.anchors("settings", (each.id for each in plan.settings))),
            ("Test again", here.anchors("procedures", plan.tests)),
            ("Tools", here.anchors("tools", tools_of(plan))),
            ("Time", minutes_words(minutes_of(plan))),
        ),
        [caution_box(here, each) for each in gravest_first(here.library, met)],
        [(chapter.title, list(_steps(here, chapter.steps))) for chapter in told],
        plan.missing,
    )


def _steps(here: Here, steps: Iterable[Said]) -> Iterator[Markup]:
    """Steps in words; the procedure that they are taken from is named where it changes."""
    before = ""
    for said in steps:
        text = pieces_html(here.library, said.text, here.to)
        when = Markup("<b>{}:</b> ").format(said.when) if said.when else Markup("")
        procedure = said.act.id.partition("/")[0]
        record = here.library.procedures[procedure]
        named = procedure != before and not record.shared
        before = procedure
        href = here.to(page_of("procedures", procedure)) + ("" if said.act.mirrored else f"#{said.act.anchor}")
        source = Markup(' <small>from <a href="{}">{}</a></small>').format(href, record.title) if named else Markup("")
        yield when + text + source
