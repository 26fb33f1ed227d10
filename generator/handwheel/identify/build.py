"""From a family and what the shop knows of it to the tables that the engine calculates with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from handwheel.identify import likelihood
from handwheel.identify.coupling import Tie, allowed_by_class, ties
from handwheel.identify.facts import Marking, Subject
from handwheel.identify.instruments import instruments_of
from handwheel.identify.rates import CLASSES, History, Rates
from handwheel.identify.serials import universe_of
from handwheel.identify.tables import MISSING, Carrier, Group, Mix, Tables, Trait, marking_trait
from handwheel.machines.family import FamilyIndex
from handwheel.machines.questions import Feature, Outsider, Swapped, Variant


def build_tables(subject: Subject, rates: Rates | None = None) -> Tables:
    """Compile a subject. Traits, carriers, variants keep the order in which the family names them."""
    rates = rates or Rates()
    index = FamilyIndex(subject.family)
    parts = _parts(subject)
    traits: list[Trait] = []
    carriers: list[Carrier] = []
    for part, features, markings in parts:
        first = len(traits)
        made = [_feature_trait(subject, part, feature, features) for feature in features]
        made += [_marking_trait(subject, marking, features) for marking in markings]
        traits += [_with_kin(rates, trait) for trait in made] if _swapped(features) == "never" else made
        carriers.append(_carrier(subject, rates, part, features, traits, range(first, len(traits))))
    groups = _groups(index, traits, carriers)
    histories = _histories(rates)
    tables = Tables(
        subject=subject,
        rates=rates,
        variants=tuple(variant.id for variant in subject.family.variants),
        priors=_priors(subject),
        histories=tuple(weight for weight, _ in histories),
        fits_none=tuple(none for _, none in histories),
        traits=tuple(traits),
        carriers=tuple(carriers),
        groups=tuple(groups),
        group_of=_group_of(len(traits), carriers, groups),
        instruments=instruments_of(subject, rates),
        universe=universe_of(map(subject.of, (variant.id for variant in subject.family.variants))),
    )
    return likelihood.with_scales(tables)


Part = tuple[str, list[Feature], list[Marking]]


def _parts(subject: Subject) -> list[Part]:
    """Parts in the order of their first feature, then those that bear only markings."""
    parts: dict[str, Part] = {}
    for feature in subject.family.features:
        if not feature.derived:
            parts.setdefault(feature.carrier, (feature.carrier, [], []))[1].append(feature)
    for marking in subject.markings:
        if marking.variants:
            part = marking.carried_by or marking_trait(marking.id)
            parts.setdefault(part, (part, [], []))[2].append(marking)
    return list(parts.values())


def _priors(subject: Subject) -> tuple[float, ...]:
    weights = [subject.of(variant.id).weight for variant in subject.family.variants]
    return tuple(weight / sum(weights) for weight in weights)


def _histories(rates: Rates) -> list[tuple[float, bool]]:
    known = [((1 - rates.none) * history.weight, False) for history in rates.known]
    unknown = [(rates.none * history.weight, True) for history in rates.unknown]
    total = sum(weight for weight, _ in known + unknown)
    return [(weight / total, none) for weight, none in known + unknown]


# ---- traits


def _even(count: int, chosen: Sequence[int]) -> tuple[float, ...]:
    return tuple(1 / len(chosen) if i in chosen else 0.0 for i in range(count))


def _form_row(feature: Feature, forms: Sequence[str] | None) -> tuple[float, ...]:
    """Several forms are equally likely; none named: any form."""
    count = len(feature.forms)
    if not forms:
        return _even(count, range(count))
    return _even(count, [feature.forms.index(form) for form in forms])


def _distinct(rows: Sequence[tuple[float, ...]]) -> tuple[tuple[float, ...], ...]:
    return tuple(dict.fromkeys(rows))


def _swapped(features: Sequence[Feature]) -> Swapped:
    """One feature said to be swapped says it of the whole part; the most often counts."""
    return max((feature.swapped for feature in features), key=CLASSES.index, default="never")


def _can_be_lost(features: Sequence[Feature]) -> bool:
    """As in `machines.family`: what is never swapped is never lost."""
    return _swapped(features) != "never" and any(feature.missing for feature in features)


def _answers(forms: Sequence[str], features: Sequence[Feature]) -> tuple[str, ...]:
    return (*forms, MISSING) if _can_be_lost(features) else tuple(forms)


def _outsiders(subject: Subject, part: str) -> list[Outsider]:
    return [outsider for outsider in subject.family.outsiders if outsider.part == part]


def _feature_trait(subject: Subject, part: str, feature: Feature, features: Sequence[Feature]) -> Trait:
    rows = [_form_row(feature, variant.features.get(feature.id)) for variant in subject.family.variants]
    rows += [_form_row(feature, outsider.forms.get(feature.id)) for outsider in _outsiders(subject, part)]
    answers = _answers(feature.forms, features)
    return Trait(feature.id, answers, len(feature.forms), _distinct(rows), feature.effort)


def _with_kin(rates: Rates, trait: Trait) -> Trait:
    return replace(trait, rows=_distinct([*trait.rows, *(_kin_row(rates, row) for row in trait.rows)]))


def _kin_row(rates: Rates, row: Sequence[float]) -> tuple[float, ...]:
    """The form of a casting like this one: mostly the same, else any."""
    return tuple((1 - rates.changed_here) * x + rates.changed_here / len(row) for x in row)


def _marking_row(marking: Marking, variant: str) -> tuple[float, ...]:
    share = marking.variants.get(variant, 0.0)
    return (share, 1 - share)


def _marking_trait(subject: Subject, marking: Marking, features: Sequence[Feature]) -> Trait:
    rows = [_marking_row(marking, variant.id) for variant in subject.family.variants] + [(0.5, 0.5)]
    answers = _answers(("seen", "not seen"), features)
    return Trait(marking_trait(marking.id), answers, 2, _distinct(rows), "glance", is_marking=True)


# ---- carriers


def _pattern(traits: Sequence[Trait], numbers: range, rows: Mapping[str, tuple[float, ...]]) -> tuple[int, ...]:
    return tuple(traits[i].rows.index(rows[traits[i].id]) for i in numbers)


def _rows_of(subject: Subject, features: Sequence[Feature], source: Variant | Outsider) -> dict[str, tuple[float, ...]]:
    forms = source.features if isinstance(source, Variant) else source.forms
    rows = {feature.id: _form_row(feature, forms.get(feature.id)) for feature in features}
    for marking in subject.markings:
        row = _marking_row(marking, source.id) if isinstance(source, Variant) else (0.5, 0.5)
        rows[marking_trait(marking.id)] = row
    return rows


def _carrier(
    subject: Subject, rates: Rates, part: str, features: Sequence[Feature], traits: Sequence[Trait], numbers: range
) -> Carrier:
    family = subject.family
    of_variant = [_pattern(traits, numbers, _rows_of(subject, features, variant)) for variant in family.variants]
    patterns = tuple(dict.fromkeys(of_variant))
    swapped = _swapped(features)
    outsiders = _outsiders(subject, part) if swapped != "never" else []
    kin = [_kin_pattern(rates, traits, numbers, pattern) for pattern in patterns] if swapped == "never" else []
    return Carrier(
        id=part,
        traits=tuple(numbers),
        never_swapped=swapped == "never",
        can_be_lost=_can_be_lost(features),
        patterns=patterns,
        counts=tuple(of_variant.count(pattern) for pattern in patterns),
        of_variant=tuple(patterns.index(pattern) for pattern in of_variant),
        outsiders=tuple(_pattern(traits, numbers, _rows_of(subject, features, outsider)) for outsider in outsiders),
        outsider_ids=tuple(outsider.id for outsider in outsiders),
        mixes=_mixes(rates, swapped, _can_be_lost(features), len(family.variants) > 1, bool(outsiders)),
        kin=tuple(kin),
    )


def _kin_pattern(rates: Rates, traits: Sequence[Trait], numbers: range, pattern: Sequence[int]) -> tuple[int, ...]:
    rows = [traits[i].rows for i in numbers]
    return tuple(own.index(_kin_row(rates, own[row])) for own, row in zip(rows, pattern, strict=True))


def _mixes(rates: Rates, swapped: Swapped, can_be_lost: bool, donors: bool, outsiders: bool) -> tuple[Mix, ...]:
    return tuple(_mix(rates, h, swapped, can_be_lost, donors, outsiders) for h in (*rates.known, *rates.unknown))


def _mix(rates: Rates, history: History, swapped: Swapped, can_be_lost: bool, donors: bool, outsiders: bool) -> Mix:
    """Shares of one part in one history; the shares that cannot be go to the others."""
    changed = min(rates.swapped[swapped] * history.factor, rates.most)
    lost = min(rates.lost[swapped] * history.factor, 1 - rates.most) if can_be_lost else 0.0
    donor = rates.donor if donors else 0.0
    outsider = rates.outsider if outsiders else 0.0
    whole = donor + outsider + rates.stranger or 1.0
    borrowed = rates.unlike_donor if donors else 0.0
    here, unlike = 1 - lost, history.unlike
    kin = rates.unlike_kin if swapped == "never" else 0.0
    other = unlike * (1 - kin)
    return Mix(
        original=here * (1 - unlike) * (1 - changed),
        donor=here * ((1 - unlike) * changed * donor / whole + other * borrowed),
        outsider=here * (1 - unlike) * changed * outsider / whole,
        stranger=here * ((1 - unlike) * changed * rates.stranger / whole + other * (1 - borrowed)),
        missing=lost,
        kin=here * unlike * kin,
    )


# ---- groups


def _groups(index: FamilyIndex, traits: Sequence[Trait], carriers: Sequence[Carrier]) -> list[Group]:
    tied = [_tied_group(index, tie, traits, carriers) for tie in ties(index)]
    taken = {number for group in tied for number in group.carriers}
    alone = [_lone_group(number, carrier) for number, carrier in enumerate(carriers) if number not in taken]
    return sorted([*tied, *alone], key=lambda group: group.carriers)


def _lone_group(number: int, carrier: Carrier) -> Group:
    cells = tuple((pattern, 0) for pattern in range(len(carrier.patterns)))
    return Group((number,), ((),), (), cells, carrier.of_variant, ())


def _tied_group(index: FamilyIndex, tie: Tie, traits: Sequence[Trait], carriers: Sequence[Carrier]) -> Group:
    wanted = set(tie.reads)
    numbers = [i for i, carrier in enumerate(carriers) if any(traits[t].id in wanted for t in carrier.traits)]
    reads = [tuple(k for k, t in enumerate(carriers[i].traits) if traits[t].id in wanted) for i in numbers]
    by_id = {trait.id: trait for trait in traits}
    order = [traits[carriers[i].traits[k]].id for i, places in zip(numbers, reads, strict=True) for k in places]
    sizes = [[len(traits[carriers[i].traits[k]].answers) for k in ks] for i, ks in zip(numbers, reads, strict=True)]
    tie = Tie(tie.conditions, tuple(order))
    answers = [by_id[name].answers for name in order]
    allowed, classes = allowed_by_class(index, tie, answers, lambda combo: _numbered(combo, sizes))
    of_variant = [(*(carriers[i].of_variant[v] for i in numbers), classes[v]) for v in range(len(classes))]
    cells = tuple(dict.fromkeys(of_variant))
    return Group(tuple(numbers), tuple(reads), allowed, cells, tuple(map(cells.index, of_variant)), ())


def _numbered(combo: Sequence[int], sizes: Sequence[Sequence[int]]) -> tuple[int, ...]:
    """One number for each carrier: its answers taken together, the first one counting most."""
    numbers = []
    answers = iter(combo)
    for carrier in sizes:
        number = 0
        for size in carrier:
            number = number * size + next(answers)
        numbers.append(number)
    return tuple(numbers)


def _group_of(count: int, carriers: Sequence[Carrier], groups: Sequence[Group]) -> tuple[int, ...]:
    found = [0] * count
    for number, group in enumerate(groups):
        for carrier in group.carriers:
            for trait in carriers[carrier].traits:
                found[trait] = number
    return tuple(found)


__all__ = ["build_tables"]
