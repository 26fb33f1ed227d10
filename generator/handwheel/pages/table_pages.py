"""The shop's tables: fasteners, settings, oiling, tools, cautions, agents, threads, limits, sources, words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from markupsafe import Markup, escape

from handwheel.evidence.bench_oils import at_bench
from handwheel.evidence.readings import in_both
from handwheel.evidence.standing import lacking, of_citations, standing_of
from handwheel.evidence.threads import pitch_of
from handwheel.pages.environment import environment
from handwheel.pages.evidence_html import amount, amounts, checked, folded, said
from handwheel.pages.figures import figure_html
from handwheel.pages.here import Desk, Fact, Here, either, facts
from handwheel.pages.measured_html import own_readings
from handwheel.pages.sections import Chapter, Section, chapters_page, section
from handwheel.pages.site import Page
from handwheel.pages.tally_html import TALLY_LEDE, tally_sections
from handwheel.procedures.wording import state_words
from handwheel.records.library_records import Source
from handwheel.records.told_records import Clamp

Described = tuple[list[Fact], list[Markup]]


def table_pages(desk: Desk) -> Iterator[Page]:
    """All pages of tables."""
    for path, title, lede, chapters in _TABLES:
        here = desk.at(path)
        made = [Chapter(name, list(_sections(here, plural, describe))) for plural, name, describe in chapters]
        if path == "needles.html" and desk.library.needles:
            made.insert(0, Chapter("All sizes", [_all_needles(here)]))
        yield chapters_page(desk, path, title, lede, made)
    yield _sources_page(desk)


def _sources_page(desk: Desk) -> Page:
    """Sources, with how much rests on what before them."""
    path, title = "sources.html", "Sources"
    here = desk.at(path)
    lede = "Where values and claims come from, how far each carries, and all that rests on it."
    chapters = [
        Chapter("How much rests on what", list(tally_sections(here)), TALLY_LEDE),
        Chapter("Each source", list(_sections(here, "sources", _source))),
    ]
    return chapters_page(desk, path, title, lede, chapters)


def _sections(here: Here, plural: str, describe: Any) -> Iterator[Section]:
    for record in here.library.of(plural).values():
        yield section(here, plural, record, describe, figure_html(here, getattr(record, "figure", "")))


def _fastener(here: Here, each: Any) -> Described:
    pairs = facts(
        ("How many", each.count),
        ("Kind", each.kind + (", left-hand thread: turn it the other way" if each.hand == "left" else "")),
        ("Holds", here.anchors("parts", each.holds)),
        ("Only on", here.when(each.when)),
        ("Where", each.sits),
        ("Behind", here.anchors("parts", each.behind)),
        ("Undone", "only loosened" if each.release == "loosened" else ""),
        ("Seat", here.varies(each.seat)),
        ("Thread", here.varies(each.thread, "threads")),
        ("Length", amounts(here, each.length)),
        ("Grip", amount(each.grip)),
        ("Depth of thread in its hole", amount(each.hole_depth)),
        ("Into", here.anchor("materials", each.into) if each.into else ""),
        ("Slot", Markup(" x ").join(filter(None, (amount(each.slot_width), amount(each.slot_length))))),
        ("Depth of the slot", amount(each.slot_depth)),
        ("Blade", here.anchor("blades", each.blade) if each.blade else ""),
        ("Tighten", amounts(here, each.tighten)),
        ("Clamp that the joint needs", _clamp(here, each.needs_clamp)),
        ("New each time", "yes" if each.single_use else ""),
        ("Rests on", here.cite([each.source]) if each.source else ""),
    )
    return [*pairs, *checked(here, "fasteners", each)], [here.prose(each.why), here.prose(each.note)]


def _clamp(here: Here, clamp: Clamp | None) -> Markup:
    if clamp is None:
        return Markup("")
    rests = Markup(", {}").format(here.cite([clamp.source])) if clamp.source else Markup("")
    return amount(clamp.force) + rests


def _setting(here: Here, each: Any) -> Described:
    held = [here.anchor("fasteners" if one in here.library.fasteners else "parts", one) for one in each.held_by]
    needs = each.set_when
    pairs = facts(
        ("Right is", amounts(here, each.target)),
        ("Held by", Markup(", ").join(held)),
        ("Only on", here.when(each.when)),
        ("Rests on these being set", here.anchors("settings", each.after)),
        ("Must be off", here.anchors("parts", needs.open) if needs else ""),
        ("Must be on", here.anchors("parts", needs.fitted) if needs else ""),
        ("Works at", either(f"{k.replace('-', ' ')} {either(v)}" for k, v in needs.positions.items()) if needs else ""),
        ("Mark before undoing", "yes" if each.mark_first or each.arrangement else ""),
        ("Told by", here.anchor("readings", each.reading) if each.reading else ""),
        ("Source", here.cite([each.source]) if each.source else ""),
    )
    pairs += own_readings(here, each.reading)
    return [*pairs, *checked(here, "settings", each)], [here.prose(each.right), here.prose(each.note)]


def _position(_: Here, each: Any) -> Described:
    return facts(("Can be", either(each.states.values())), ("Moved by", each.moved_by)), []


def _point(here: Here, each: Any) -> Described:
    pairs = facts(
        ("Lubricant", here.anchor("lubricants", each.lubricant)),
        ("Dose", each.dose),
        ("How often", each.every),
        ("Between", here.anchors("parts", each.between)),
        ("Only on", here.when(each.when)),
        ("Behind", here.anchors("parts", each.behind)),
        ("Source", here.cite([each.source]) if each.source else ""),
    )
    return [*pairs, *checked(here, "oiling_points", each)], [here.prose(each.how)]


def _lubricant(here: Here, each: Any) -> Described:
    pairs = facts(
        ("Viscosity grade", either(each.vg)),
        ("Consistency", either(each.nlgi)),
        ("At the bench", said(escape(one.words) + folded(one.arithmetic) for one in at_bench(here.library, each))),
        ("Supply", here.anchor("supplies", each.supply) if each.supply else ""),
        ("Cautions", here.anchors("cautions", each.hazards)),
        ("Sources", here.cite(each.sources)),
    )
    return [*pairs, *checked(here, "lubricants", each)], [here.prose(each.note)]


def _tool(here: Here, each: Any) -> Described:
    return facts(("Sort", each.form), ("Cautions", here.anchors("cautions", each.hazards))), [here.prose(each.note)]


def _blade(here: Here, each: Any) -> Described:
    pairs = facts(
        ("Thickness", amount(each.thickness)), ("Width", amount(each.width)), ("Sources", here.cite(each.sources))
    )
    return [*pairs, *checked(here, "blades", each)], []


def _supply(here: Here, each: Any) -> Described:
    price = f"{each.price.text} {_currency(here)} a {each.unit or 'piece'}" if each.price else ""
    agent = here.anchor("agents", each.agent) if each.agent else ""
    return facts(("Is", agent), ("Price", price)), [here.prose(each.note)]


def _spare(here: Here, each: Any) -> Described:
    highest = f", seen up to {each.at_most.text}" if each.at_most else ""
    price = f"{each.price.text} {_currency(here)}{highest}" if each.price else ""
    return facts(("For", here.anchors("parts", each.parts)), ("Price", price)), [here.prose(each.note)]


def _currency(here: Here) -> str:
    return here.library.shop.currency if here.library.shop else ""


def _item(here: Here, each: Any) -> Described:
    packed = "apart from what is heavy" if each.fragile else "apart from what is fragile" if each.heavy else ""
    return facts(("Comes with", here.when(each.when)), ("Packed", packed)), []


def _caution(here: Here, each: Any) -> Described:
    pairs = facts(
        ("Signal word", each.word.upper()),
        ("Consequence", each.consequence),
        ("Met by", either(each.met_by)),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, [here.prose(each.avoid)]


def _prohibition(here: Here, each: Any) -> Described:
    kinds = ("parts", "fasteners", "oiling_points")
    what = next(here.anchor(kind, each.part) for kind in kinds if each.part in here.library.of(kind))
    pairs = facts(
        ("Must never meet", each.effect),
        ("What", what),
        ("On", here.when(each.when)),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, [here.prose(each.why)]


def _agent(here: Here, each: Any) -> Described:
    harms = [
        Markup("{}: {}").format(
            here.anchor("materials" if name in here.library.materials else "finishes", name), verdict
        )
        for name, verdict in each.harms.items()
    ]
    pairs = facts(
        ("Used as", either(each.use)),
        ("Takes the oil with it", "yes: oil again afterwards" if each.strips_oil else ""),
        ("On materials and finishes", Markup("; ").join(harms)),
        ("Cautions", here.anchors("cautions", each.hazards)),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, [here.prose(each.note)]


def _material(here: Here, each: Any) -> Described:
    harmed = [agent.id for agent in here.library.agents.values() if agent.harms.get(each.id) == "never"]
    pairs = facts(
        ("Never meets", here.anchors("agents", harmed)),
        ("Warmest it may get", each.heat_limit.text if getattr(each, "heat_limit", None) else ""),
        ("Layers, outermost first", here.anchors("finishes", getattr(each, "layers", ()))),
        ("Cautions", here.anchors("cautions", getattr(each, "hazards", ()))),
        ("Sources", here.cite(each.sources)),
    )
    return [*pairs, *checked(here, "materials", each)], [here.prose(each.note)]


def _needle(here: Here, each: Any) -> Described:
    pairs = facts(
        ("Metric number", each.metric),
        ("Trade number", each.number),
        ("Blade, measured above the scarf", amount(each.blade)),
        ("Shank", amount(each.shank)),
        ("Sources", here.cite(each.sources)),
    )
    return [*pairs, *checked(here, "needles", each)], [here.prose(each.use)]


def _all_needles(here: Here) -> Section:
    """The sizes at one sight."""
    unknown = escape("not known")
    rows = [
        (each.name, [amount(each.blade) or unknown, amount(each.shank) or unknown, _rests(here, each)], False)
        for each in here.library.needles.values()
    ]
    macros: Any = environment().get_template("macros.html").module
    table = Markup(macros.table("All sizes", "Metric / trade", ["Blade", "Shank", "Rests on"], rows))
    return Section("all-sizes", "Side by side", [], [], [], table, table.striptags())


def _by_count(each: Any) -> str:
    """Threads to the inch, with the pitch that they make."""
    pitch = pitch_of(each)
    return f"{each.tpi} threads an inch = {pitch * 1e3:.4g} mm" if pitch else "not known"


def _rests(here: Here, each: Any) -> Markup:
    return escape(of_citations(here.library, each.sources).words)


def _thread(here: Here, each: Any) -> Described:
    pairs = facts(
        ("Form", each.form),
        ("Series", each.series),
        ("Major diameter", amount(each.diameter)),
        ("Pitch", amount(each.pitch) if each.pitch else _by_count(each)),
        ("Looks like, must not be mixed with", here.anchors("threads", each.alike)),
        ("Standing", "" if each.verified else "unverified: measure before you rely on it"),
        ("Source", here.cite([each.source]) if each.source else ""),
    )
    return [*pairs, *checked(here, "threads", each)], []


def _limit(here: Here, each: Any) -> Described:
    limit = f"{each.sense} {in_both(f'{each.value.text} {each.unit}')}"
    pairs = facts(("Limit", limit), ("Source", here.cite([each.source])))
    return [*pairs, *checked(here, "limits", each)], [here.prose(each.note)]


def _proof(here: Here, each: Any) -> Described:
    worn = "electrical work" if each.stale_by == "electrical" else "any setting, refit or loss of a setting"
    return facts(("Has to be done again after", worn), ("Only on", here.when(each.when))), []


def _finding(here: Here, each: Any) -> Described:
    pairs = facts(
        ("Where", each.look),
        ("Of", here.anchor("parts", each.of) if each.of else ""),
        ("Can be", "; ".join(each.states.values())),
        ("Nothing to do when", "; ".join(each.states.get(state, state) for state in each.good)),
        ("Only on", here.when(each.when)),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, []


def _choice(here: Here, each: Any) -> Described:
    means = "; ".join(f"{k}: {either(state_words(here.library, k, s, True) for s in v)}" for k, v in each.means.items())
    price = f"{each.price.text} {_currency(here)}" if each.price else ""
    return facts(("Offered on", here.when(each.when)), ("Means", means), ("Price", price)), [here.prose(each.about)]


def reading_states(each: Any) -> str:
    """`slack below 0.60 N; right from 0.60 to below 1.10 N; tight from 1.10 N`."""
    cuts = each.cuts.fixed
    if cuts is None:
        return either(each.states)
    ends = [None, *(cut.text for cut in cuts), None]
    return "; ".join(
        f"{state} {_between(low, high, each.unit)}"
        for state, low, high in zip(each.states, ends, ends[1:], strict=False)
    )


def _between(low: str | None, high: str | None, unit: str) -> str:
    if low is None:
        return f"below {high} {unit}"
    return f"from {low} {unit}" if high is None else f"from {low} to below {high} {unit}"


def _reading(here: Here, each: Any) -> Described:
    pairs = facts(
        ("States", reading_states(each)),
        ("Good", either(each.good)),
        ("Read with", here.anchor("tools", each.instrument) if each.instrument else ""),
        ("Only on", here.when(each.when)),
        ("Source", here.cite([each.source]) if each.source else ""),
    )
    pairs += own_readings(here, each.id)
    return [*pairs, *checked(here, "readings", each)], [here.prose(each.how)]


VERDICTS = {
    "seen": "The source itself was read.",
    "second-hand": "Read at second hand, in a copy or another book's table.",
    "not seen": "Not seen; nothing may rest on it that permits or raises.",
}


def _source(here: Here, each: Source) -> Described:
    measured = ", ".join(
        part
        for part in (
            each.instrument,
            f"{each.count} times" if each.count else "",
            f"spread {each.spread}" if each.spread else "",
        )
        if part
    )
    pairs = facts(
        ("Sort", each.kind),
        ("By", each.by),
        ("Edition", each.edition),
        ("Date", each.date),
        ("Measured", measured),
        ("How it was read", VERDICTS[each.read] if each.kind not in _OWN_WORD else ""),
        ("What it may carry", _carries(each)),
    )
    return pairs, [here.prose(each.note)]


def _carries(each: Source) -> str:
    """What may be built on a source, and what a measurement does not tell of itself."""
    without = f"; not told: {either(lacking(each))}" if lacking(each) else ""
    if standing_of(each).may_permit:
        return f"It may permit and raise a limit{without}"
    return "It may forbid, ask for a test or lower a limit. It permits nothing and raises no limit"


_OWN_WORD = ("shop measurement", "common practice", "from memory", "invented", "told by another restorer")


def _term(here: Here, each: Any) -> Described:
    kinds = ("features", "parts", "terms", "settings")
    see = [here.anchor(next(k for k in kinds if one in here.library.of(k)), one) for one in each.see]
    return facts(("Also", either(each.also)), ("See", Markup(", ").join(see))), [here.prose(each.means)]


def _feature(here: Here, each: Any) -> Described:
    forms = [
        Markup("<b>{}</b>{}").format(form.name, Markup(": ") + here.prose(form.tell) if form.tell else "")
        for form in each.forms.values()
    ]
    effort = {"glance": "a glance", "tool": "a tool", "strip": "taking something off"}[each.effort]
    pairs = facts(
        ("Where to look", each.look),
        ("Takes", effort if each.forms else "nothing: it follows from other features"),
        ("Forms", Markup("<br>").join(forms)),
        ("Carried by", here.anchor("parts", each.carried_by) if each.carried_by else ""),
        ("Changes hands", each.swapped),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, [here.prose(each.how)]


def _outsider(here: Here, each: Any) -> Described:
    forms = "; ".join(f"{k}: {either(state_words(here.library, k, s, True) for s in v)}" for k, v in each.forms.items())
    return facts(("In the place of", here.anchor("parts", each.part)), ("Brings", forms)), [here.prose(each.about)]


def _marking(here: Here, each: Any) -> Described:
    pairs = facts(
        ("Sort", each.form),
        ("Reads", each.reads),
        ("Where", each.look),
        ("Holds for a machine that bears it", here.when(each.means)),
        ("Sources", here.cite(each.sources)),
    )
    not_told = Markup("<b>It does not tell:</b> {}").format(here.prose(each.not_told)) if each.not_told else Markup("")
    return pairs, [here.prose(each.tells), not_told]


def _claim(here: Here, each: Any) -> Described:
    history = Markup("<br>").join(
        Markup("{}: {}{}").format(one.date, one.standing, Markup(". ") + here.prose(one.why) if one.why else "")
        for one in each.history
    )
    pairs = facts(
        ("Standing", each.standing),
        ("About", here.when(each.about)),
        ("Rests on", here.cite(each.rests_on)),
        ("History", history),
        ("Replaced by", here.anchor("claims", each.replaced_by) if each.replaced_by else ""),
    )
    return pairs, [here.prose(each.says)]


_TABLES: tuple[tuple[str, str, str, tuple[tuple[str, str, Any], ...]], ...] = (
    (
        "features.html",
        "Features and looks",
        "What to look at on a machine, and the forms that it takes.",
        (("features", "Features", _feature), ("outsiders", "Parts from outside the family", _outsider)),
    ),
    (
        "markings.html",
        "Markings",
        "What is written on machines, with what it tells and what it does not.",
        (("markings", "Markings", _marking),),
    ),
    (
        "findings.html",
        "Findings, choices and readings",
        "Questions answered at a step: by looking, by the owner, by an instrument.",
        (("findings", "Findings", _finding), ("readings", "Readings", _reading), ("choices", "Choices", _choice)),
    ),
    (
        "fasteners.html",
        "Fasteners",
        "Every screw, nut and plug: what it holds, its blade, its thread, how tight.",
        (("fasteners", "Fasteners", _fastener),),
    ),
    (
        "settings.html",
        "Settings",
        "What is set by hand, what holds it, and what right is.",
        (("settings", "Settings", _setting), ("positions", "Positions of the works", _position)),
    ),
    (
        "oiling.html",
        "Oiling",
        "Each point with its lubricant and dose.",
        (("oiling_points", "Points", _point), ("lubricants", "Classes of lubricant", _lubricant)),
    ),
    (
        "tools.html",
        "Tools, supplies and spares",
        "What to lay out, what is used up, what can be bought.",
        (
            ("tools", "Tools", _tool),
            ("blades", "Blades", _blade),
            ("supplies", "Supplies", _supply),
            ("spares", "Spares", _spare),
            ("items", "What comes in with a machine", _item),
        ),
    ),
    (
        "cautions.html",
        "Cautions",
        "The safety messages, gravest first. Local codes and licensed practice go before all of them.",
        (("cautions", "Cautions", _caution), ("prohibitions", "Never", _prohibition)),
    ),
    (
        "agents.html",
        "Agents, materials and finishes",
        "What cleans what, and what it must never touch.",
        (("agents", "Agents", _agent), ("materials", "Materials", _material), ("finishes", "Finishes", _material)),
    ),
    ("threads.html", "Threads", "Screw threads met at this bench.", (("threads", "Threads", _thread),)),
    (
        "needles.html",
        "Needles",
        "Sizes by both numbers, with the blade that a micrometer finds. The system of a needle is told by its machine.",
        (("needles", "Sizes", _needle),),
    ),
    (
        "limits.html",
        "Limits and tests",
        "Named limits that readings and lifts are judged against. A reading within a limit is a record, not a verdict.",
        (("limits", "Limits", _limit), ("proofs", "Tests at hand-over", _proof)),
    ),
    (
        "claims.html",
        "Claims",
        "What the shop holds true, how far, and on what it rests.",
        (("claims", "Claims", _claim),),
    ),
    ("glossary.html", "Glossary", "Words of the trade.", (("terms", "Words", _term),)),
)
