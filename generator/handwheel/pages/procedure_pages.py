"""Procedures: a page for each variant, and one for every pattern; jobs and recordings with their order."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from markupsafe import Markup

from handwheel.machines.machine import Known
from handwheel.pages import addresses
from handwheel.pages.beside import Onlooker, Own, mains_of
from handwheel.pages.environment import rendered
from handwheel.pages.figures import drawn_once
from handwheel.pages.here import Desk, Here
from handwheel.pages.lay_out import laid_out
from handwheel.pages.phrases import minutes_words, variant_name
from handwheel.pages.site import Page, SearchEntry
from handwheel.pages.step_html import PageOfSteps, StepWriter
from handwheel.pages.work_list import minutes_of, resolved, resolver
from handwheel.procedures.prose import plain_text
from handwheel.procedures.resolved import Resolved, ResolvedStep
from handwheel.procedures.wording import joined
from handwheel.records.library import Library
from handwheel.records.machine_records import Variant
from handwheel.records.step_records import EFFECTS, Step
from handwheel.records.work_records import AREAS, Procedure

INDEX = "procedures.html"


def procedure_pages(desk: Desk) -> Iterator[Page]:
    """The index, each procedure for every pattern, and each for each variant."""
    yield _index(desk)
    deep, flat = StepWriter(desk.library), StepWriter(desk.library)
    for procedure in desk.library.procedures.values():
        if procedure.shared:
            continue
        yield _every_pattern(desk, procedure, flat)
        for variant in desk.library.variants.values():
            made = resolved(desk.library, variant.id, procedure.id)
            if not made.verdict.out:
                yield _for_variant(desk, variant, procedure, made, deep)


def _index(desk: Desk) -> Page:
    here = desk.at(INDEX)
    areas: dict[str, list[tuple[str, str, str]]] = {}
    for each in desk.library.procedures.values():
        if not each.shared:
            about = each.about.raw if each.about else ""
            link = (addresses.title_of(each), here.to(addresses.page_of("procedures", each.id)), about)
            areas.setdefault(each.area, []).append(link)
    in_order = sorted(areas.items(), key=lambda each: AREAS.index(each[0]))
    html = rendered("procedure_index", home=here.to(""), areas=in_order)
    lede = "Every procedure, in the order of a job."
    return Page(INDEX, "Procedures", html, description=lede, search=(SearchEntry(INDEX, "Procedures", lede),))


def _about(procedure: Procedure) -> str:
    return procedure.about.raw if procedure.about else addresses.title_of(procedure)


def _for_variant(desk: Desk, variant: Variant, procedure: Procedure, made: Resolved, writer: StepWriter) -> Page:
    path = addresses.work_page(variant.id, procedure.id)
    here = desk.at(path)
    steps = made.steps
    title = addresses.title_of(procedure)
    look = onlooker(here, variant, procedure.id, steps) if simulated(steps) else None
    html = rendered(
        "procedure",
        home=here.to(""),
        title=title,
        about=here.prose(procedure.about),
        crumbs=[
            ("Home", here.to("index.html")),
            here.link("families", variant.family),
            here.link("variants", variant.id),
        ],
        variant=variant,
        variant_href=here.link("variants", variant.id)[1],
        siblings=_siblings(here, variant, made),
        key=f"{variant.id}/{procedure.id}",
        count=len(steps),
        minutes=minutes_words(minutes_of(made.items)),
        facts=laid_out(here, procedure, steps, desk.has(variant.id)),
        steps=PageOfSteps(writer, here, procedure.id, variant.id, look.beside() if look else {}).items(made.items),
        before=look.needs() if look else [],
        leaves=look.leaves() if look else ((), ""),
        simulated=look is not None,
        sources=here.cite(procedure.sources),
        every=here.link("procedures", procedure.id)[1],
        place=procedure.place,
    )
    name = f"{title} - {variant_name(desk.library, variant.id)}"
    return Page(path, name, drawn_once(html), description=_about(procedure), source=str(procedure.place))


def simulated(steps: tuple[ResolvedStep, ...]) -> bool:
    """Whether any step says what it changes; words alone are not simulated."""
    return any(has_effects(step.act.step) for step in steps)


def has_effects(step: Step) -> bool:
    """Whether the step says what it changes."""
    return any(getattr(step, effect) for effect in EFFECTS)


def onlooker(here: Here, variant: Variant, procedure: str, steps: tuple[ResolvedStep, ...]) -> Onlooker:
    """Looks at the procedure's own run, for the variant as it left the works."""
    run = here.desk.run(variant.family, procedure)
    has = here.desk.has(variant.id)
    mains = mains_of(here, has)
    sight = Own(run.space, run.space.as_built(variant.id))
    return Onlooker(here, run, sight, has, mains, mains and not any(deals_with_power(step.act.step) for step in steps))


def deals_with_power(step: Step) -> bool:
    """Whether the step itself says where the plug is."""
    return bool(step.isolates or step.restores or step.runs)


def _siblings(here: Here, variant: Variant, made: Resolved) -> list[tuple[str, str, str]]:
    """The same procedure on the other variants; where a step of this page is not there, what stands in its place."""
    library = here.library
    others = [
        each.id
        for each in library.variants_of(variant.family)
        if each.id != variant.id and not resolved(library, each.id, made.procedure).verdict.out
    ]
    instead: dict[str, dict[str, str]] = {each: {} for each in others}
    for anchor in (step.anchor for step in made.steps):
        there = resolver(library, variant.family).siblings(made.procedure, anchor)
        for each in others:
            if not there[each].same:
                instead[each][anchor] = there[each].anchor
    return [
        (
            f"On {variant_name(library, each)}",
            here.to(addresses.work_page(each, made.procedure)),
            json.dumps(instead[each], separators=(",", ":")) if instead[each] else "",
        )
        for each in others
    ]


def _every_pattern(desk: Desk, procedure: Procedure, writer: StepWriter) -> Page:
    """The procedure for machines of which nothing is known: every look that it hangs on stands in it."""
    path = addresses.page_of("procedures", procedure.id)
    here = desk.at(path)
    library = desk.library
    families = [(family, resolver(library, family).resolve(procedure.id, Known())) for family in library.families]
    having = [(family, made) for family, made in families if not made.verdict.out]
    title = addresses.title_of(procedure)
    pages = [PageOfSteps(writer, here, procedure.id) for _ in having]
    seen: set[str] = set()
    html = rendered(
        "procedure_every",
        home=here.to(""),
        title=title,
        about=here.prose(procedure.about),
        variants=[
            (variant_name(library, each.id), here.to(addresses.work_page(each.id, procedure.id)))
            for each in library.variants.values()
            if not resolved(library, each.id, procedure.id).verdict.out
        ],
        families=[
            (library.families[family].name, family, _told_apart(page.items(made.items), family, seen), len(made.steps))
            for (family, made), page in zip(having, pages, strict=True)
        ],
        before=list(_before(here, procedure.id)),
        jobs=here.used_by("procedures", procedure.id),
        sources=here.cite(procedure.sources),
        place=procedure.place,
    )
    entries = dict.fromkeys(each for _, made in having for each in _entries(library, path, title, made.steps))
    search = (SearchEntry(path, title, _about(procedure)), *entries)
    return Page(
        path, title, drawn_once(html), description=_about(procedure), search=search, source=str(procedure.place)
    )


def _before(here: Here, procedure: str) -> Iterator[Markup]:
    """What the procedure takes for granted, with the patterns on which it does, where not on all."""
    library = here.library
    having = {each: resolved(library, each, procedure) for each in library.variants}
    told: dict[Markup, list[str]] = {}
    simulable = {each: made.steps for each, made in having.items() if not made.verdict.out and simulated(made.steps)}
    for each, steps in simulable.items():
        for need in onlooker(here, library.variants[each], procedure, steps).needs():
            told.setdefault(need, []).append(variant_name(library, each))
    for need, variants in told.items():
        some = (
            Markup(" <small>(as built on {})</small>").format(joined(variants))
            if len(variants) < len(simulable)
            else Markup("")
        )
        yield need + some


def _told_apart(html: Markup, family: str, seen: set[str]) -> Markup:
    """An anchor that an earlier family has already bears the id of this one, since one page may hold a step twice."""
    ids = set(re.findall(r' id="([^"]+)"', html))
    made = str(html)
    for each in sorted(ids & seen):
        made = re.sub(rf'( id="| value="| href="#){re.escape(each)}"', rf'\g<1>{family}--{each}"', made)
    seen |= ids
    return Markup(made)


def _entries(library: Library, path: str, title: str, steps: tuple[ResolvedStep, ...]) -> Iterator[SearchEntry]:
    """One hit a step: its words, and the machines for which it holds."""
    for step in steps:
        texts = [
            plain_text(library, option.value) for prose in (step.do, step.why) if prose for option in prose.options
        ]
        holds = f"Holds for {_machines(library, step)}."
        yield SearchEntry(f"{path}#{step.anchor}", f"{title}: {_first_sentence(texts)}", " ".join([*texts, holds]))


def _first_sentence(texts: list[str]) -> str:
    return texts[0].split(". ")[0].rstrip(".") if texts else "step"


def _machines(library: Library, step: ResolvedStep) -> str:
    if step.reason is None:
        return "every pattern"
    named = joined(variant_name(library, each) + ("" if whole else " (some)") for each, whole in step.reason.variants)
    return f"{step.reason.words}: as built {named}" if named else step.reason.words
