"""What tables say of agents, tools, threads, limits, sources and the other records that shops share."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup, escape

from handwheel.evidence.bench_oils import at_bench
from handwheel.evidence.readings import in_both
from handwheel.evidence.standing import lacking, of_citations, standing_of
from handwheel.evidence.threads import pitch_of
from handwheel.pages.described import Described, currency
from handwheel.pages.environment import environment
from handwheel.pages.evidence_html import amount, checked, folded, said
from handwheel.pages.here import Here, either, facts
from handwheel.pages.sections import Section
from handwheel.records.library_records import Source


def lubricant(here: Here, each: Any) -> Described:
    """A class of lubricant, with what its grades come to at the bench."""
    pairs = facts(
        ("Viscosity grade", either(each.vg)),
        ("Consistency", either(each.nlgi)),
        ("At the bench", said(escape(one.words) + folded(one.arithmetic) for one in at_bench(here.library, each))),
        ("Supply", here.anchor("supplies", each.supply) if each.supply else ""),
        ("Cautions", here.anchors("cautions", each.hazards)),
        ("Sources", here.cite(each.sources)),
    )
    return [*pairs, *checked(here, "lubricants", each)], [here.prose(each.note)]


def tool(here: Here, each: Any) -> Described:
    """A tool."""
    return facts(("Sort", each.form), ("Cautions", here.anchors("cautions", each.hazards))), [here.prose(each.note)]


def blade(here: Here, each: Any) -> Described:
    """A blade."""
    pairs = facts(
        ("Thickness", amount(each.thickness)), ("Width", amount(each.width)), ("Sources", here.cite(each.sources))
    )
    return [*pairs, *checked(here, "blades", each)], []


def supply(here: Here, each: Any) -> Described:
    """Something that is used up."""
    price = f"{each.price.text} {currency(here)} a {each.unit or 'piece'}" if each.price else ""
    agent = here.anchor("agents", each.agent) if each.agent else ""
    return facts(("Is", agent), ("Price", price)), [here.prose(each.note)]


def spare(here: Here, each: Any) -> Described:
    """A part that can be bought."""
    highest = f", seen up to {each.at_most.text}" if each.at_most else ""
    price = f"{each.price.text} {currency(here)}{highest}" if each.price else ""
    return facts(("For", here.anchors("parts", each.parts)), ("Price", price)), [here.prose(each.note)]


def caution(here: Here, each: Any) -> Described:
    """A safety message."""
    pairs = facts(
        ("Signal word", each.word.upper()),
        ("Consequence", each.consequence),
        ("Met by", either(each.met_by)),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, [here.prose(each.avoid)]


def agent(here: Here, each: Any) -> Described:
    """Something that cleans, and what it harms."""
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


def material(here: Here, each: Any) -> Described:
    """A material or a finish."""
    harmed = [agent.id for agent in here.library.agents.values() if agent.harms.get(each.id) == "never"]
    pairs = facts(
        ("Never meets", here.anchors("agents", harmed)),
        ("Warmest it may get", each.heat_limit.text if getattr(each, "heat_limit", None) else ""),
        ("Layers, outermost first", here.anchors("finishes", getattr(each, "layers", ()))),
        ("Cautions", here.anchors("cautions", getattr(each, "hazards", ()))),
        ("Sources", here.cite(each.sources)),
    )
    return [*pairs, *checked(here, "materials", each)], [here.prose(each.note)]


def needle(here: Here, each: Any) -> Described:
    """A size of needle."""
    pairs = facts(
        ("Metric number", each.metric),
        ("Trade number", each.number),
        ("Blade, measured above the scarf", amount(each.blade)),
        ("Shank", amount(each.shank)),
        ("Sources", here.cite(each.sources)),
    )
    return [*pairs, *checked(here, "needles", each)], [here.prose(each.use)]


def all_needles(here: Here) -> Section:
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


def thread(here: Here, each: Any) -> Described:
    """A thread."""
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


def limit(here: Here, each: Any) -> Described:
    """A named limit."""
    limit = f"{each.sense} {in_both(f'{each.value.text} {each.unit}')}"
    pairs = facts(("Limit", limit), ("Source", here.cite([each.source])))
    return [*pairs, *checked(here, "limits", each)], [here.prose(each.note)]


VERDICTS = {
    "seen": "The source itself was read.",
    "second-hand": "Read at second hand, in a copy or another book's table.",
    "not seen": "Not seen; nothing may rest on it that permits or raises.",
}


def source(here: Here, each: Source) -> Described:
    """A source: how it was read, what it may carry."""
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


def term(here: Here, each: Any) -> Described:
    """A word of the trade."""
    kinds = ("features", "parts", "terms", "settings")
    see = [here.anchor(next(k for k in kinds if one in here.library.of(k)), one) for one in each.see]
    return facts(("Also", either(each.also)), ("See", Markup(", ").join(see))), [here.prose(each.means)]
