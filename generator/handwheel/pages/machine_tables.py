"""What tables say of features, fasteners, settings and the other records of machines."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from handwheel.pages.described import Described, currency
from handwheel.pages.evidence_html import amount, amounts, checked
from handwheel.pages.figures import figure_html
from handwheel.pages.here import Here, either, facts
from handwheel.pages.measured_html import own_readings
from handwheel.procedures.wording import state_words
from handwheel.records.told_records import Clamp


def fastener(here: Here, each: Any) -> Described:
    """A fastener: what it holds, its thread and slot, how tight."""
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


def setting(here: Here, each: Any) -> Described:
    """A setting: what right is, what holds it, what must be so when it is set."""
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


def position(_: Here, each: Any) -> Described:
    """Where the works can stand."""
    return facts(("Can be", either(each.states.values())), ("Moved by", each.moved_by)), []


def point(here: Here, each: Any) -> Described:
    """An oiling point."""
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


def item(here: Here, each: Any) -> Described:
    """What comes in with a machine."""
    packed = "apart from what is heavy" if each.fragile else "apart from what is fragile" if each.heavy else ""
    return facts(("Comes with", here.when(each.when)), ("Packed", packed)), []


def prohibition(here: Here, each: Any) -> Described:
    """An effect that a part must never meet."""
    kinds = ("parts", "fasteners", "oiling_points")
    what = next(here.anchor(kind, each.part) for kind in kinds if each.part in here.library.of(kind))
    pairs = facts(
        ("Must never meet", each.effect),
        ("What", what),
        ("On", here.when(each.when)),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, [here.prose(each.why)]


def proof(here: Here, each: Any) -> Described:
    """A test at hand-over."""
    worn = "electrical work" if each.stale_by == "electrical" else "any setting, refit or loss of a setting"
    return facts(("Has to be done again after", worn), ("Only on", here.when(each.when))), []


def finding(here: Here, each: Any) -> Described:
    """A question answered by looking."""
    pairs = facts(
        ("Where", each.look),
        ("Of", here.anchor("parts", each.of) if each.of else ""),
        ("Can be", "; ".join(each.states.values())),
        ("Nothing to do when", "; ".join(each.states.get(state, state) for state in each.good)),
        ("Only on", here.when(each.when)),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, []


def choice(here: Here, each: Any) -> Described:
    """A question answered by the owner."""
    means = "; ".join(f"{k}: {either(state_words(here.library, k, s, True) for s in v)}" for k, v in each.means.items())
    price = f"{each.price.text} {currency(here)}" if each.price else ""
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


def reading(here: Here, each: Any) -> Described:
    """A question answered by an instrument."""
    pairs = facts(
        ("States", reading_states(each)),
        ("Good", either(each.good)),
        ("Read with", here.anchor("tools", each.instrument) if each.instrument else ""),
        ("Only on", here.when(each.when)),
        ("Source", here.cite([each.source]) if each.source else ""),
    )
    pairs += own_readings(here, each.id)
    return [*pairs, *checked(here, "readings", each)], [here.prose(each.how)]


def feature(here: Here, each: Any) -> Described:
    """A feature and its forms, each with its figure."""
    forms = Markup("").join(_form(here, form) for form in each.forms.values())
    effort = {"glance": "a glance", "tool": "a tool", "strip": "taking something off"}[each.effort]
    pairs = facts(
        ("Where to look", each.look),
        ("Takes", effort if each.forms else "nothing: it follows from other features"),
        ("Forms", Markup('<ul class="hw-shapes">{}</ul>').format(forms) if forms else ""),
        ("Carried by", here.anchor("parts", each.carried_by) if each.carried_by else ""),
        ("Changes hands", each.swapped),
        ("Sources", here.cite(each.sources)),
    )
    return pairs, [here.prose(each.how)]


def _form(here: Here, form: Any) -> Markup:
    tell = Markup(": ") + here.prose(form.tell) if form.tell else ""
    return Markup("<li>{}<span><b>{}</b>{}</span></li>").format(figure_html(here, form.figure), form.name, tell)


def outsider(here: Here, each: Any) -> Described:
    """A part from outside the family."""
    forms = "; ".join(f"{k}: {either(state_words(here.library, k, s, True) for s in v)}" for k, v in each.forms.items())
    return facts(("In the place of", here.anchor("parts", each.part)), ("Brings", forms)), [here.prose(each.about)]


def marking(here: Here, each: Any) -> Described:
    """What is written on machines."""
    pairs = facts(
        ("Sort", each.form),
        ("Reads", each.reads),
        ("Where", each.look),
        ("Holds for a machine that bears it", here.when(each.means)),
        ("Sources", here.cite(each.sources)),
    )
    not_told = Markup("<b>It does not tell:</b> {}").format(here.prose(each.not_told)) if each.not_told else Markup("")
    return pairs, [here.prose(each.tells), not_told]


def claim(here: Here, each: Any) -> Described:
    """Something that the shop holds true, with its history."""
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
