"""How a part is reached, for each group of machines on which the answer is the same."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from markupsafe import Markup

from handwheel.machines.masks import bits
from handwheel.pages.addresses import page_of
from handwheel.pages.here import Fact, Here, facts
from handwheel.pages.phrases import minutes_words, variant_name
from handwheel.pages.prose_html import pieces_html
from handwheel.pages.step_html import caution_box
from handwheel.procedures.hazards import cautions_of, gravest_first
from handwheel.procedures.reach import Plan, reach
from handwheel.procedures.reach_words import Said, chapters, minutes_of, tools_of
from handwheel.procedures.wording import joined

MOST = 8
"""Machines of one variant, as it left the works, that are looked at; more differ in what no reaching meets."""


@dataclass(frozen=True)
class Way:
    """One block: the machines, and how the part is reached on them."""

    machines: str
    facts: list[Fact]
    cautions: list[Markup]
    """Safety messages of all its steps, gravest first: they stand before the first of them."""
    chapters: list[tuple[str, list[Markup]]]
    missing: tuple[str, ...]


def ways_to(here: Here, part: str) -> Iterator[Way]:
    """One block for each answer, in the order of the variants."""
    found: dict[tuple[object, ...], tuple[Plan, list[tuple[str, int]]]] = {}
    for variant in here.library.variants.values():
        has = here.desk.has(variant.id)
        for bit in list(bits(has.mask("parts", part)))[:MOST]:
            plan = reach(here.library, has.space, bit, part, verify=False)
            if plan.off or plan.missing:
                found.setdefault((variant.family, *plan.key), (plan, []))[1].append((variant.id, bit))
    for plan, machines in found.values():
        yield _way(here, plan, machines)


def _way(here: Here, plan: Plan, machines: list[tuple[str, int]]) -> Way:
    variant, bit = machines[0]
    names = dict.fromkeys(variant_name(here.library, each) for each, _ in machines)
    told = list(chapters(here.library, here.desk.has(variant).space, 1 << bit, plan))
    met = dict.fromkeys(each for c in told for said in c.steps for each in cautions_of(here.library, said.act.step))
    return Way(
        joined(names),
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
