"""Random small families and conditions for Hypothesis."""

from __future__ import annotations

from hypothesis import settings
from hypothesis import strategies as st

from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.machine import Known
from handwheel.machines.questions import MISSING, Family, Feature, Outsider, Variant

law = settings(deadline=None, max_examples=60)
"""For laws on random families; no deadline, since the machine that runs the tests is shared."""

FORMS = {"f1": ("a", "b"), "f2": ("a", "b", "c"), "f3": ("x", "y"), "f4": ("p", "q"), "f5": ("u", "v")}


@st.composite
def conditions(
    draw: st.DrawFn, forms: dict[str, tuple[str, ...]], variants: tuple[str, ...] = (), depth: int = 3
) -> Condition:
    """A condition over these questions and variants."""
    kinds = ["is", "is", *(["of"] if variants else []), *(["not", "all", "any"] if depth else [])]
    kind = draw(st.sampled_from(kinds))
    if kind == "is":
        question = draw(st.sampled_from(sorted(forms)))
        states = draw(st.sets(st.sampled_from((*forms[question], MISSING)), min_size=1, max_size=2))
        return Is(question, frozenset(states))
    if kind == "of":
        return OfVariant(frozenset(draw(st.sets(st.sampled_from(variants), min_size=1))))
    if kind == "not":
        return Not(draw(conditions(forms, variants, depth - 1)))
    parts = tuple(draw(st.lists(conditions(forms, variants, depth - 1), min_size=1, max_size=3)))
    return All(parts) if kind == "all" else Any(parts)


@st.composite
def families(draw: st.DrawFn) -> Family:
    """A family of one to three variants and two to five features, some carried together, some derived."""
    forms = {f: FORMS[f] for f in sorted(FORMS)[: draw(st.sampled_from((2, 3, 3, 4, 4, 5)))]}
    features = [draw(_features(f, forms[f])) for f in forms]
    names = tuple(f"v{i}" for i in range(draw(st.integers(1, 3))))
    variants = tuple(Variant(name, draw(_given(forms))) for name in names)
    outsiders = []
    for i in range(draw(st.integers(0, 2))):
        carrier = draw(st.sampled_from([feature.carrier for feature in features]))
        own = {feature.id: forms[feature.id] for feature in features if feature.carrier == carrier}
        outsiders.append(Outsider(f"o{i}", carrier, draw(_given(own))))
    readable = dict(forms)
    for i in range(draw(st.integers(0, 2))):
        clauses = draw(st.lists(conditions(readable, names, 1), min_size=1, max_size=2))
        derived = tuple((("s", "t")[n], clause) for n, clause in enumerate(clauses))
        features.append(Feature(f"d{i}", ("s", "t", "rest"), derived=(*derived, ("rest", None))))
        readable[f"d{i}"] = ("s", "t", "rest")
    draw(st.randoms(use_true_random=False)).shuffle(features)
    cannot = tuple(All(tuple(pair)) for pair in draw(st.lists(_pairs(readable, names), max_size=2)))
    return Family("family", variants, tuple(features), tuple(outsiders), cannot)


def questions(family: Family) -> dict[str, tuple[str, ...]]:
    """Forms by feature, for `conditions`."""
    return {feature.id: feature.forms for feature in family.features}


def variants(family: Family) -> tuple[str, ...]:
    """Names of the variants, for `conditions`."""
    return tuple(variant.id for variant in family.variants)


@st.composite
def families_with(draw: st.DrawFn, count: int = 1) -> tuple[Family, tuple[Condition, ...]]:
    """A family and conditions on it."""
    family = draw(families())
    several = st.lists(conditions(questions(family), variants(family)), min_size=count, max_size=count)
    return family, tuple(draw(several))


@st.composite
def evidence(draw: st.DrawFn, family: Family) -> Known:
    """What may be known of a machine, possible or not."""
    names = [variant.id for variant in family.variants]
    built = draw(st.none() | st.frozensets(st.sampled_from(names), min_size=1))
    forms = {}
    for feature in family.features:
        if draw(st.booleans()):
            forms[feature.id] = draw(st.frozensets(st.sampled_from((*feature.forms, MISSING)), min_size=1))
    return Known(built, forms)


def _pairs(forms: dict[str, tuple[str, ...]], names: tuple[str, ...]) -> st.SearchStrategy[list[Condition]]:
    """Two conditions that cannot hold together; rarely one that cannot hold at all."""
    return st.lists(conditions(forms, names, 1), min_size=1, max_size=2)


@st.composite
def _features(draw: st.DrawFn, name: str, forms: tuple[str, ...]) -> Feature:
    return Feature(
        name,
        forms,
        carried_by=draw(st.sampled_from(("", "", "part1", "part2"))),
        swapped=draw(st.sampled_from(("often", "seldom", "never", "never"))),
        missing=draw(st.booleans()),
        effort=draw(st.sampled_from(("glance", "tool", "strip"))),
    )


@st.composite
def _given(draw: st.DrawFn, forms: dict[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    given = {}
    for name, own in forms.items():
        if draw(st.booleans()) or draw(st.booleans()):
            given[name] = tuple(draw(st.lists(st.sampled_from(own), min_size=1, max_size=2)))
    return given
