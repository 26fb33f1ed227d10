"""Families for the tests of identification, and a plain enumeration of everything that can stand behind a look."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Iterator, Mapping, Sequence

from handwheel.identify.build import build_tables
from handwheel.identify.evidence import Evidence, Look, Measured, SerialRead, read_serial, saw
from handwheel.identify.facts import Block, Marking, Measure, Subject, VariantFacts, Years
from handwheel.identify.rates import CLASSES, Rates
from handwheel.identify.tables import Tables
from handwheel.machines.conditions import All, Any, Condition, Is, Not, OfVariant
from handwheel.machines.questions import MISSING, Family, Feature, Outsider, Variant


def is_(question: str, *states: str) -> Is:
    return Is(question, frozenset(states))


def demo_family() -> Family:
    """Four invented patterns: the bed is cast, the winder and the lamp change hands."""
    features = (
        Feature("bed", ("square", "round"), "head"),
        Feature("pillar", ("plain", "boss"), "head"),
        Feature("winder", ("latch", "plain"), "winder", "often", missing=True),
        Feature("winder-tyre", ("rubber", "belt"), "winder", "often", effort="tool"),
        Feature("lamp", ("bracket", "stalk", "none"), "lamp", "often", missing=True),
        Feature("hook", ("swings", "rocks"), "hook", "seldom", effort="strip"),
        Feature("lit", ("yes", "no"), derived=((("yes"), is_("lamp", "bracket", "stalk")), ("no", None))),
    )
    variants = (
        Variant("first", _made("square", "plain", "plain", "belt", "none", "swings")),
        Variant("second", _made("square", "boss", "plain", "belt", "bracket", "swings")),
        Variant("third", _made("round", "boss", "latch", "rubber", "bracket", "rocks")),
        Variant("fourth", {**_made("round", "boss", "latch", "rubber", "stalk", "rocks"), "lamp": ("stalk", "none")}),
    )
    outsiders = (Outsider("kit-lamp", "lamp", {"lamp": ("stalk",)}),)
    cannot = (All((is_("lamp", "bracket"), is_("pillar", "plain"))),)
    return Family("dipper", variants, features, outsiders, cannot)


def _made(*forms: str) -> dict[str, tuple[str, ...]]:
    names = ("bed", "pillar", "winder", "winder-tyre", "lamp", "hook")
    return {name: (form,) for name, form in zip(names, forms, strict=True)}


def demo_subject() -> Subject:
    facts = {
        "first": VariantFacts((Block("A", "0001", "4999", years=Years(1921, 1924)),), Years(1921, 1927)),
        "second": VariantFacts((Block("A", "5000", "9999", gaps=(("7000", "7999"),)),), Years(1927, 1934)),
        "third": VariantFacts((Block("B", "0001", "6000"),), Years(1934, 1941), {"mass": Measure(11.5, 0.2)}),
        "fourth": VariantFacts((Block("B", "5001", "9999"),), Years(1946, 1955), {"mass": Measure(12.4, 0.2)}),
    }
    markings = (
        Marking("arm-name", variants={"third": 1.0, "fourth": 0.8}),
        Marking("winder-patent", carried_by="winder", variants={"third": 1.0, "fourth": 1.0}, not_before=1933),
    )
    return Subject(demo_family(), facts, markings)


def demo_tables(rates: Rates | None = None) -> Tables:
    return build_tables(demo_subject(), rates)


# ---- families made at random


def random_subject(rng: random.Random, variants: int = 4, carriers: int = 3, facts: bool = False) -> Subject:
    features = [feature for c in range(carriers) for feature in _random_part(rng, c)]
    made = tuple(Variant(f"v{v}", _random_forms(rng, features)) for v in range(variants))
    outsiders = tuple(
        Outsider(f"o{feature.id}", feature.carrier, _random_forms(rng, [feature]))
        for feature in features
        if rng.random() < 0.25
    )
    family = Family("random", made, tuple(features), outsiders, tuple(_random_clauses(rng, features, made)))
    if not facts:
        return Subject(family)
    return Subject(family, {v.id: _random_facts(rng) for v in made}, tuple(_random_markings(rng, features, made)))


def _random_part(rng: random.Random, number: int) -> list[Feature]:
    swapped, lost = rng.choice(CLASSES), rng.random() < 0.4
    effort = rng.choice(("glance", "tool", "strip"))
    return [
        Feature(f"f{number}{k}", tuple("abcd"[: rng.randint(1, 4)]), f"part{number}", swapped, lost, effort)
        for k in range(rng.randint(1, 2))
    ]


def _random_forms(rng: random.Random, features: Sequence[Feature]) -> dict[str, tuple[str, ...]]:
    return {
        feature.id: tuple(rng.sample(feature.forms, rng.choice([1, 1, 1, min(2, len(feature.forms))])))
        for feature in features
        if rng.random() < 0.85
    }


def _random_clauses(
    rng: random.Random, features: Sequence[Feature], variants: Sequence[Variant]
) -> Iterator[Condition]:
    for _ in range(rng.choice([0, 0, 1, 1, 2])):
        chosen = rng.sample(list(features), min(2, len(features)))
        parts: list[Condition] = [is_(feature.id, rng.choice(feature.forms)) for feature in chosen]
        if rng.random() < 0.3:
            parts.append(OfVariant(frozenset([rng.choice(variants).id])))
        if rng.random() < 0.2:
            parts[0] = Not(parts[0])
        yield All(tuple(parts))


def _random_facts(rng: random.Random) -> VariantFacts:
    blocks = []
    for _ in range(rng.randint(0, 2)):
        first = rng.randint(0, 80) * 100
        last = first + rng.randint(10, 3000)
        padded = rng.random() < 0.5
        text = (lambda n: f"{n:05d}") if padded else str
        gap = (
            ((text(first + 3), text(first + 7)),) if rng.random() < 0.3 and len(text(first)) == len(text(last)) else ()
        )
        blocks.append(Block(rng.choice(["", "A", "KB"]), text(first), text(last), rng.choice(["", "", "X"]), gap))
    first_year = rng.randint(1900, 1950)
    measures = {"mass": Measure(rng.uniform(9, 14), rng.uniform(0.1, 0.4))} if rng.random() < 0.7 else {}
    weight = rng.choice([0.5, 1.0, 1.0, 3.0])
    return VariantFacts(tuple(blocks), Years(first_year, first_year + rng.randint(0, 15)), measures, weight)


def _random_markings(rng: random.Random, features: Sequence[Feature], variants: Sequence[Variant]) -> Iterator[Marking]:
    for number in range(rng.randint(0, 3)):
        shares = {v.id: rng.choice([1.0, 0.7, 0.2]) for v in variants if rng.random() < 0.5}
        feature = rng.choice(features)
        forms = {feature.id: frozenset(rng.sample(feature.forms, 1))} if rng.random() < 0.3 else {}
        yield Marking(f"m{number}", rng.choice(["", feature.carrier]), shares, forms)


def random_evidence(rng: random.Random, subject: Subject, share: float = 0.6) -> Evidence:
    looks = [_random_look(rng, f) for f in subject.family.features if not f.derived and rng.random() < share]
    markings = tuple(m.id for m in subject.markings if rng.random() < 0.3)
    serial = _random_serial(rng) if subject.facts and rng.random() < 0.5 else None
    weighed = any("mass" in facts.measures for facts in subject.facts.values())
    measured = (Measured("mass", rng.uniform(8, 15), rng.choice([0.0, 0.1])),) if weighed and rng.random() < 0.5 else ()
    return Evidence(tuple(looks), markings, serial, measured)


def _random_look(rng: random.Random, feature: Feature) -> Look:
    answers = [*feature.forms, *([MISSING] if feature.missing else [])]
    count = rng.choice([0, 1, 1, 1, 1, min(2, len(answers))])
    return saw(feature.id, *rng.sample(answers, count), care=rng.choice(["sure", "sure", "doubtful", "checked"]))


def _random_serial(rng: random.Random) -> SerialRead:
    digits = "".join(rng.choice(["?", "[38]", *"0123456789" * 2]) for _ in range(rng.randint(3, 5)))
    return read_serial(rng.choice(["", "A", "KB"]) + digits + rng.choice(["", "", "X"]))


# ---- everything that can stand behind the evidence, one machine at a time


def enumerated(tables: Tables, evidence: Evidence) -> tuple[list[float], float]:
    """Posterior over variants and of 'fits none' by listing every machine; looks only."""
    family, rates = tables.subject.family, tables.rates
    known, none = [0.0] * len(family.variants), 0.0
    for h, (weight, is_none) in enumerate(zip(tables.histories, tables.fits_none, strict=True)):
        for v, variant in enumerate(family.variants):
            shown = stands = 0.0
            for chance, machine in _machines(tables, h, variant):
                if is_none or not any(_holds(c, machine, family, variant.id) for c in family.cannot_stand):
                    stands += chance
                    shown += chance * _reported(tables, rates, evidence, machine)
            if stands:
                share = weight * tables.priors[v] * shown / stands
                known[v] += 0 if is_none else share
                none += share if is_none else 0
                if not is_none and any(tables.fits_none) and _doubted(family, variant, evidence):
                    none += rates.twin * share
    total = sum(known) + none
    return [x / total for x in known], none / total


def _doubted(family: Family, variant: Variant, evidence: Evidence) -> bool:
    """Two sure looks at parts that never change hands speak against it, or one that was taken twice: a checked one;
    or a single one, and no other look at that part shows what the variant has."""
    changing = {f.carrier for f in family.features if f.swapped != "never"}
    fixed = {f.id: f for f in family.features if f.carrier not in changing}
    against: list[str] = []
    agreeing: set[str] = set()
    for look in evidence.looks:
        feature = fixed.get(look.feature)
        if not feature or look.care == "doubtful" or (feature.missing and MISSING in look.forms):
            continue
        if look.forms & set(variant.features.get(feature.id) or feature.forms):
            agreeing.add(feature.id)
        elif look.forms & set(feature.forms):
            against += [feature.id] * (2 if look.care == "checked" else 1)
    return len(against) > 1 or not agreeing.issuperset(against)


def _machines(tables: Tables, h: int, variant: Variant) -> Iterator[tuple[float, dict[str, str]]]:
    parts = [list(_part(tables, h, variant, number)) for number in range(len(tables.carriers))]
    for combo in itertools.product(*parts):
        yield math.prod(p for p, _ in combo), {k: form for _, forms in combo for k, form in forms.items()}


def _part(tables: Tables, h: int, variant: Variant, number: int) -> Iterator[tuple[float, dict[str, str]]]:
    family, carrier = tables.subject.family, tables.carriers[number]
    mix = carrier.mixes[h]
    features = [f for f in family.features if not f.derived and f.carrier == carrier.id]
    others = [other for other in family.variants if other.id != variant.id]
    outsiders = [o for o in family.outsiders if o.part == carrier.id]
    sources: list[tuple[float, Mapping[str, tuple[str, ...]]]] = [(mix.original, variant.features)]
    sources += [(mix.donor / len(others), other.features) for other in others]
    sources += [(mix.outsider / len(outsiders), outsider.forms) for outsider in outsiders if mix.outsider]
    sources.append((mix.stranger, {}))
    for chance, made in sources:
        choices = [made.get(f.id) or f.forms for f in features]
        if chance:
            for forms in itertools.product(*choices):
                names = [f.id for f in features]
                yield chance / math.prod(map(len, choices)), dict(zip(names, forms, strict=True))
    if mix.kin:
        for forms in itertools.product(*(f.forms for f in features)):
            chances = [_kin(tables.rates, variant, f, form) for f, form in zip(features, forms, strict=True)]
            yield mix.kin * math.prod(chances), {f.id: form for f, form in zip(features, forms, strict=True)}
    if mix.missing:
        yield mix.missing, {f.id: MISSING for f in features}


def _kin(rates: Rates, variant: Variant, feature: Feature, form: str) -> float:
    """A form of a casting like that of the variant."""
    own = variant.features.get(feature.id) or feature.forms
    return (1 - rates.changed_here) * (form in own) / len(own) + rates.changed_here / len(feature.forms)


def _reported(tables: Tables, rates: Rates, evidence: Evidence, machine: Mapping[str, str]) -> float:
    """Chance of the answers, by listing which single answer lay behind each 'this or that'."""
    chance = 1.0
    for look in evidence.looks:
        answers = next(t.answers for t in tables.traits if t.id == look.feature)
        wrong = rates.wrong[look.care]
        if look.forms:
            given = [form for form in answers if form in look.forms]
            slip = wrong / (len(answers) - 1) if len(answers) > 1 else 0.0
            right = 1 - wrong if len(answers) > 1 else 1.0
            chance *= sum(right if form == machine[look.feature] else slip for form in given) if given else wrong
    return chance


def _holds(condition: Condition, machine: Mapping[str, str], family: Family, variant: str) -> bool:
    match condition:
        case Is(question, states):
            return _answer(question, machine, family, variant) in states
        case OfVariant(variants):
            return variant in variants
        case Not(part):
            return not _holds(part, machine, family, variant)
        case All(parts):
            return all(_holds(part, machine, family, variant) for part in parts)
        case Any(parts):
            return any(_holds(part, machine, family, variant) for part in parts)


def _answer(question: str, machine: Mapping[str, str], family: Family, variant: str) -> str:
    if question in machine:
        return machine[question]
    derived = next(f for f in family.features if f.id == question).derived
    return next(form for form, when in derived if when is None or _holds(when, machine, family, variant))
