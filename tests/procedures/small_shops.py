"""Small shops made by chance, and a resolver that takes one machine at a time and knows nothing of masks."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from hypothesis import strategies as some

from handwheel.machines.conditions import All, Condition, Is, Not, OfVariant
from handwheel.machines.conditions import Any as AnyOf
from handwheel.machines.machine import Known, Machine
from handwheel.machines.space import Space
from handwheel.procedures.expand import expand
from handwheel.procedures.program import Act, Fork, Guarded, Items, Loop, Reached
from handwheel.procedures.prose import Emphasis, Plain, Quoted
from handwheel.procedures.resolved import Alternatives, Group, Reaching, Repeated, Resolved, ResolvedItem, ResolvedStep
from handwheel.records.families import family_of
from handwheel.records.library import Library
from shopkit import (
    by,
    condition,
    fastener,
    feature,
    finding,
    one_of,
    part,
    procedure,
    shop,
    step,
    under,
    variant,
    varies,
)

FORMS = {"lamp": ("bracket", "stalk", "none"), "hook": ("rotary", "shuttle"), "finish": ("enamel", "lacquer")}
STATES = ("soft", "hard", "gone")
VARIANTS = ("first", "second", "third")
Done = list[tuple[str, str]]
"""Anchor and text of each step, in order."""


def conditions(asked: bool = True) -> some.SearchStrategy[Any]:
    """Conditions as written: on features, on the variant and, where they may, on a finding."""
    questions = {**FORMS, **({"wick": STATES} if asked else {}), "variant": VARIANTS}
    single = some.sampled_from(sorted(questions)).flatmap(
        lambda q: some.builds(
            lambda states: {q: sorted(states)}, some.sets(some.sampled_from(questions[q]), min_size=1, max_size=2)
        )
    )
    return some.recursive(
        single,
        lambda inner: some.one_of(
            some.builds(lambda c: {"not": c}, inner),
            some.lists(inner, min_size=1, max_size=2),
            some.builds(both, inner, inner),
        ),
        max_leaves=4,
    )


def both(one: Any, other: Any) -> Any:
    """Both hold."""
    return All((condition(one), condition(other)))


@some.composite
def nodes(draw: some.DrawFn, depth: int = 2) -> Any:
    """One node of a procedure; its step ids are made unique afterwards."""
    kinds = ["step", "when", "values"] + (["by", "wick", "under", "one_of"] if depth else [])
    lists = some.lists(nodes(depth - 1), max_size=2) if depth else some.just([])
    match draw(some.sampled_from(kinds)):
        case "step":
            return step("Do it.")
        case "when":
            return step("Do it.", when=draw(conditions()))
        case "values":
            cases = [({"lamp": form}, f"Mind the {form}.") for form in FORMS["lamp"]]
            return step("Tighten <fasteners screw> to <tighten screw>.", ok=varies(*cases))
        case "by":
            question = draw(some.sampled_from(sorted(FORMS)))
            return by(question, **{form: draw(lists) for form in FORMS[question]})
        case "wick":
            return by("wick", soft_or_gone=draw(lists), hard=draw(lists))
        case "under":
            return under(draw(conditions()), *draw(lists))
        case _:
            free = draw(conditions())
            return one_of(under(free, *draw(lists)), under({"not": free}, *draw(lists)))


@some.composite
def shops(draw: some.DrawFn) -> Library:
    """A family of two or three variants with one procedure, `main`."""
    swapped = some.sampled_from(["often", "never"])
    features = [feature(name, *forms, swapped=draw(swapped)) for name, forms in FORMS.items()]
    made = some.fixed_dictionaries(
        {n: some.sets(some.sampled_from(forms), min_size=1, max_size=2) for n, forms in FORMS.items()}
    )
    variants = [variant(name, **{n: sorted(f) for n, f in draw(made).items()}) for name in VARIANTS]
    barred = draw(
        some.lists(
            some.builds(dict, lamp=some.sampled_from(FORMS["lamp"]), hook=some.sampled_from(FORMS["hook"])), max_size=1
        )
    )
    tight = varies(({"hook": "rotary"}, "0.7 N m"), ({"hook": "shuttle"}, "by hand"))
    body = draw(some.lists(nodes(), min_size=1, max_size=4))
    return shop(
        features=features,
        variants=variants,
        parts=[part("head", root=True), part("plate")],
        fasteners=[fastener("screw", "plate", count=2, tighten=tight)],
        findings=[finding("wick", *STATES, good=["soft"])],
        procedures=[procedure("main", *body)],
        cannot_stand=barred,
    )


def known_wholly(machine: Machine, features: Mapping[str, Any] = FORMS) -> Known:
    """All that can be seen of a machine."""
    forms = {name: frozenset((machine.forms[name],)) for name in features}
    return Known(frozenset((machine.variant,)), forms)


def machines_of(library: Library) -> list[Machine]:
    """Every machine that can stand here."""
    space = Space(family_of(library, "dipper"))
    return list(space.machines(space.all))


class OneMachine:
    """One machine with one answer to the finding: every condition is simply true or false."""

    def __init__(self, library: Library, machine: Machine, wick: str) -> None:
        self.library = library
        self.variant = machine.variant
        self.answers = {**machine.forms, "wick": wick}

    def holds(self, condition: Condition) -> bool:
        match condition:
            case Is(question, states):
                return self.answers[question] in states
            case OfVariant(variants):
                return self.variant in variants
            case Not(inner):
                return not self.holds(inner)
            case All(parts):
                return all(map(self.holds, parts))
            case AnyOf(parts):
                return any(map(self.holds, parts))

    # straight from the procedure as written

    def done(self, procedure_: str) -> Done:
        return list(self._done(expand(self.library, procedure_).items))

    def _done(self, items: Items) -> Iterator[tuple[str, str]]:
        for item in items:
            match item:
                case Act() if self.holds(item.condition):
                    assert item.do is not None
                    yield item.anchor, self._texts(item.do) + (self._texts(item.step.ok) if item.step.ok else "")
                case Guarded() if self.holds(item.when.condition):
                    yield from self._done(item.items)
                case Fork():
                    for arm in item.arms:
                        if self.holds(arm.when.condition):
                            yield from self._done(arm.items)
                case Loop() | Reached():
                    raise AssertionError("small shops have none")

    def _texts(self, texts: Any) -> str:
        (raw,) = (case.value.raw for case in texts.cases if self.holds(case.condition))
        return re.sub(r"<(\w+) screw>", lambda found: self._value(found[1]), raw)

    def _value(self, word: str) -> str:
        screw = self.library.fasteners["screw"]
        assert screw.tighten is not None
        tight = next(case.value.text for case in screw.tighten.cases if self.holds(case.condition))
        return tight if word == "tighten" else "2 screws"

    # from a resolved procedure, taking the looks that it leaves open

    def played(self, resolved: Resolved) -> Done:
        return list(self._played(resolved.items))

    def _played(self, items: tuple[ResolvedItem, ...]) -> Iterator[tuple[str, str]]:
        for item in items:
            match item:
                case ResolvedStep() if self.holds(item.act.condition):
                    yield item.anchor, self._chosen(item.do) + (self._chosen(item.ok) if item.ok else "")
                case Group() if self.holds(item.condition):
                    yield from self._played(item.items)
                case Alternatives(arms=arms):
                    for arm in arms:
                        if self.holds(arm.condition):
                            yield from self._played(arm.items)
                case Repeated() | Reaching():
                    raise AssertionError("small shops have none")

    def _chosen(self, settled: Any) -> str:
        (value,) = (option.value for option in settled.options if self.holds(option.condition))
        return value if isinstance(value, str) else "".join(map(self._piece, value))

    def _piece(self, piece: Any) -> str:
        match piece:
            case Plain(text):
                return text
            case Emphasis(held):
                return "".join(map(self._piece, held))
            case Quoted(texts=texts):
                return self._chosen(texts)
        raise AssertionError(piece)
