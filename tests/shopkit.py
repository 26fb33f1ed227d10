"""Small shops made in a few words, for tests of everything above the reader.

    shop(
        features=[feature("lamp", "bracket", "stalk", "none", swapped="often")],
        variants=[variant("second", lamp="bracket"), variant("fourth", lamp=("stalk", "none"))],
        parts=[part("head", root=True), part("lamp", when={"lamp": ["bracket", "stalk"]})],
        procedures=[procedure("lamp-off", by("lamp", bracket=[step("Undo it.", removes="lamp")], none=[]))],
    )

A plain string stands where a list of one is meant; a dict where a condition is meant.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Mapping
from typing import Any

from handwheel.engineering.units import parse
from handwheel.machines.conditions import ALWAYS, All, Condition, Is, Not, OfVariant
from handwheel.machines.conditions import Any as AnyOf
from handwheel.reading.scalars import DIMENSIONS
from handwheel.records import library_records as lib
from handwheel.records import machine_records as mach
from handwheel.records import part_records as prt
from handwheel.records import step_records as st
from handwheel.records import values as v
from handwheel.records import work_records as work
from handwheel.records.kinds import KINDS, Record, keys_of
from handwheel.records.library import Library
from handwheel.records.places import Place
from handwheel.records.shapes import Many, Part, Prose, Quantity, Shape, ThreePoint, Varying
from handwheel.records.shapes import When as WhenShape

HERE = Place("shop.yaml", 1, 1)
FAMILY = "dipper"


def condition(written: Any) -> Condition:
    """`{lamp: bracket}`, `{lamp: [..], finish: ..}`, `[{..}, {..}]`, `{"not": {..}}`, `{variant: ..}` as in YAML."""
    if not isinstance(written, Mapping | list | tuple):
        return written  # a condition already
    if not isinstance(written, Mapping):
        return AnyOf(tuple(condition(each) for each in written))
    parts: list[Condition] = []
    for key, value in written.items():
        if key == "not":
            parts.append(Not(condition(value)))
        elif key == "variant":
            parts.append(OfVariant(frozenset(listed(value))))
        else:
            parts.append(Is(key, frozenset(listed(value))))
    return parts[0] if len(parts) == 1 else All(tuple(parts))


def when(written: Any, place: Place = HERE) -> v.When:
    """A condition with a place."""
    return v.When(condition(written), place)


def listed(value: Any) -> tuple[Any, ...]:
    """One item may stand without brackets."""
    return tuple(value) if isinstance(value, list | tuple | set | frozenset) else (value,)


def text(raw: str, place: Place = HERE) -> v.Text:
    """Prose."""
    return v.Text(raw, place)


def always(value: Any) -> v.Varies[Any]:
    """The same value on every machine."""
    return v.Varies((v.Case(ALWAYS, value, HERE),), HERE)


def varies(*cases: tuple[Any, Any], by: str = "") -> v.Varies[Any]:
    """(condition, value) for each alternative; values as they would be written in YAML."""
    return v.Varies(tuple(v.Case(condition(c), value, HERE) for c, value in cases), HERE, by)


def amount(written: str, dimension: str = "torque") -> v.Amount:
    """A quantity as written; no value in SI units where a word stands."""
    value = parse(written, DIMENSIONS[dimension]) if written[:1].isdigit() else None
    return v.Amount(written, value, dimension, HERE)


def number(written: str) -> v.Number:
    """A number as written."""
    return v.Number(written, float(written))


def made(cls: type[Any], **given: Any) -> Any:
    """A record of the class; each value is brought into the shape that its key has."""
    shapes = {name: described.shape for name, described in keys_of(cls).values()}
    known = {each.name for each in dataclasses.fields(cls)}
    fields = {name: shaped(shapes[name], value) if name in shapes else value for name, value in given.items()}
    fields.setdefault("place", HERE)
    assert fields.keys() <= known, fields.keys() - known
    return cls(**fields)


def shaped(shape: Shape, value: Any) -> Any:
    """The value as the reader would hand it over."""
    match shape:
        case WhenShape() if value is not None and not isinstance(value, v.When):
            return when(value)
        case _ if value is None or (dataclasses.is_dataclass(value) and not isinstance(shape, Varying | Many)):
            return value
        case Varying(item=item):
            if isinstance(value, v.Varies):
                cases = (dataclasses.replace(case, value=shaped(item, case.value)) for case in value.cases)
                return dataclasses.replace(value, cases=tuple(cases))
            return always(shaped(item, value))
        case Many(item=item):
            return tuple(shaped(item, each) for each in listed(value))
        case Prose():
            return text(value)
        case Quantity(dimension=dimension, words=words):
            return v.Amount(value, None, dimension, HERE) if value in words else amount(value, dimension)
        case ThreePoint():
            return v.Minutes(*map(float, value if isinstance(value, list | tuple) else (value,) * 3))
        case Part(cls=cls) if isinstance(value, Mapping):
            return made(cls, **value)
    return value


# ------------------------------------------------------------------------------------------ steps


def step(do: Any, id: str = "", **given: Any) -> st.Step:
    """A step; `if_not` is called `otherwise`, as in the records."""
    for name in ("cleans", "tests_on"):
        given.setdefault(name, {})
    if not isinstance(given.get("renews", {}), Mapping):
        given["renews"] = dict.fromkeys(listed(given["renews"]), "")
    for name in ("puts", "becomes"):
        given[name] = {key: listed(value) for key, value in given.get(name, {}).items()}
    return made(st.Step, do=do, id=id, **given)


def by(question: str, **branches: Any) -> st.By:
    """Alternatives; `a_or_b` names two states, an empty list is `nothing`."""
    made_of = (
        st.Branch(tuple(s.replace("_", "-") for s in key.split("_or_")), tuple(b), HERE) for key, b in branches.items()
    )
    return st.By(question, tuple(made_of), HERE)


def under(condition: Any, *nodes: st.Node) -> st.Under:
    """Steps under a condition."""
    return made(st.Under, when=condition, steps=nodes)


def one_of(*alternatives: st.Under) -> st.OneOf:
    """Alternatives with conditions of their own."""
    return st.OneOf(alternatives, HERE)


def use(procedure: str, id: str = "", when: Any = None, **words: Any) -> st.Use:
    """A shared run with its words."""
    return made(st.Use, use=procedure, id=id, when=when, words={w: listed(value) for w, value in words.items()})


def ensure(procedure: str) -> st.Ensure:
    """A run whose steps are left out when their parts are apart."""
    return made(st.Ensure, ensure=procedure)


def mirror(procedure: str, without: Any = (), only: Any = (), after: Mapping[str, Any] | None = None) -> st.Mirror:
    """A procedure backwards."""
    put_in = {name: tuple(listed(nodes)) for name, nodes in (after or {}).items()}
    return made(st.Mirror, mirror=procedure, without=without, only=only, after=put_in)


def repeat(until: Mapping[str, Any], *nodes: st.Node, at_most: int = 6, otherwise: Iterable[st.Node] = ()) -> st.Repeat:
    """Steps done until a state is reached."""
    states = {question: listed(value) for question, value in until.items()}
    return made(st.Repeat, until=states, at_most=at_most, steps=nodes, otherwise=tuple(otherwise))


def reach(parts: Any, *nodes: st.Node) -> st.Reach:
    """Steps on a part that must be reached."""
    return made(st.Reach, reach=parts, steps=nodes)


# ---------------------------------------------------------------------------------------- records


def procedure(id: str, *nodes: st.Node, **given: Any) -> work.Procedure:
    """A procedure, its steps in order."""
    return made(work.Procedure, id=id, steps=nodes, **({"title": id.replace("-", " ").capitalize()} | given))


def job(id: str, *procedures: str, **given: Any) -> work.Job:
    """A job, its procedures in order."""
    return made(work.Job, id=id, procedures=procedures, **({"title": id, "start": "in-order"} | given))


def feature(id: str, *forms: str, derived: Iterable[tuple[str, Any]] = (), **given: Any) -> mach.Feature:
    """A feature with its forms; `derived` as (form, condition or None)."""
    lines = tuple(made(mach.Derivation, form=form, when=clause) for form, clause in derived)
    named = {form: made(mach.Form, name=form.replace("-", " ")) for form in forms}
    return made(mach.Feature, id=id, forms=named, derived=lines, **given)


def variant(id: str, family: str = FAMILY, given: Mapping[str, Any] | None = None, **forms: Any) -> mach.Variant:
    """A variant with its original forms; other keys of the record under `given`."""
    features = {name.replace("_", "-"): listed(value) for name, value in forms.items()}
    return made(mach.Variant, id=id, name=id, family=family, features=features, **(given or {}))


def part(id: str, **given: Any) -> prt.PartRecord:
    """A part; `stack` may name parts or (part, condition)."""
    layers = tuple(
        made(prt.Layer, part=each[0], when=each[1]) if isinstance(each, tuple) else made(prt.Layer, part=each)
        for each in given.pop("stack", ())
    )
    return made(prt.PartRecord, id=id, stack=layers, **given)


def fastener(id: str, holds: Any, **given: Any) -> prt.Fastener:
    """A fastener and what it holds."""
    return made(prt.Fastener, id=id, holds=holds, **given)


def setting(id: str, held_by: Any = (), **given: Any) -> prt.Setting:
    """A setting and what holds it."""
    return made(prt.Setting, id=id, held_by=held_by, **({"name": id.replace("-", " ")} | given))


def oiling_point(id: str, between: Any, lubricant: str = "light-oil", **given: Any) -> prt.OilingPoint:
    """An oiling point."""
    return made(prt.OilingPoint, id=id, between=between, lubricant=lubricant, **given)


def finding(id: str, *states: str, good: Any, **given: Any) -> mach.Finding:
    """A finding with its states."""
    named = {state: state.replace("-", " ") for state in states}
    return made(mach.Finding, id=id, states=named, good=good, **({"ask": f"What of the {id}?"} | given))


def choice(id: str, **given: Any) -> mach.Choice:
    """A choice put to the owner."""
    means = {question: listed(value) for question, value in given.pop("means", {}).items()}
    return made(mach.Choice, id=id, means=means, **({"offer": f"Fit {id}"} | given))


def reading(id: str, *states: str, cuts: Any, good: Any, unit: str = "N", **given: Any) -> mach.Reading:
    """A reading: n cuts, n + 1 states."""
    if not isinstance(cuts, v.Varies):
        cuts = always(tuple(number(cut) for cut in listed(cuts)))
    return mach.Reading(
        id=id,
        ask=given.pop("ask", id),
        unit=unit,
        cuts=cuts,
        states=states,
        good=listed(good),
        place=HERE,
        when=when(given.pop("when")) if "when" in given else None,
    )


def caution(id: str, word: str = "warning", **given: Any) -> lib.Caution:
    """A caution from the library."""
    texts = {"hazard": f"Hazard of {id}", "consequence": "It hurts.", "avoid": "Keep away."}
    return made(lib.Caution, id=id, word=word, **(texts | given))


def agent(id: str, **given: Any) -> lib.Agent:
    """An agent."""
    return made(lib.Agent, id=id, **({"name": id.replace("-", " ")} | given))


def any_record(kind: str, id: str, **given: Any) -> Record:
    """A record of any kind, by its plural."""
    record: Record = made(KINDS[kind].cls, id=id, **given)
    return record


def shop(*more: Record, family: str = FAMILY, cannot_stand: Any = (), **kinds: Iterable[Record]) -> Library:
    """A library of these records, with one family unless families are given."""
    plural = {kind.cls: name for name, kind in KINDS.items()}
    barred = tuple(made(mach.Barred, when=each, why="It was never seen.") for each in listed(cannot_stand))
    records = list(more) + [each for listed_ in kinds.values() for each in listed_]
    if not any(isinstance(each, mach.Family) for each in records):
        records.append(made(mach.Family, id=family, name=family.capitalize(), cannot_stand=barred))
    found: dict[str, dict[str, Record]] = {}
    for each in records:
        found.setdefault(plural[type(each)], {})[each.id] = each
    return Library(kinds=found)
