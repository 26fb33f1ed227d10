"""The posterior against enumeration, naive Bayes, the one set of machines, and worked examples."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sklearn.naive_bayes import CategoricalNB

from handwheel.identify.build import build_tables
from handwheel.identify.evidence import Evidence, EvidenceError, saw
from handwheel.identify.facts import Subject, VariantFacts
from handwheel.identify.posterior import alike, judge, posterior
from handwheel.identify.rates import ALL_SURE, History, Rates
from handwheel.machines.machine import Known
from handwheel.machines.questions import Family, Feature, Variant
from handwheel.machines.space import Space
from identify_cases import demo_tables, enumerated, random_evidence, random_subject


@pytest.mark.parametrize("seed", range(60))
def test_posterior_equals_listing_every_machine(seed: int) -> None:
    rng = random.Random(seed)
    tables = build_tables(random_subject(rng, variants=rng.randint(1, 4)))
    evidence = random_evidence(rng, tables.subject)
    found = posterior(tables, evidence)
    if found.evidence_log == -math.inf:
        pytest.skip("nothing can stand here")
    variants, none = enumerated(tables, evidence)
    assert found.variants == pytest.approx(variants, abs=1e-12)
    assert found.none == pytest.approx(none, abs=1e-12)


@pytest.mark.parametrize("seed", range(60))
def test_possible_variants_are_those_of_the_one_set_of_machines(seed: int) -> None:
    rng = random.Random(1000 + seed)
    subject = random_subject(rng, variants=rng.randint(1, 4))
    evidence = random_evidence(rng, subject)
    space = Space(subject.family)
    here = space.known(Known(None, {look.feature: look.forms for look in evidence.looks if look.forms}))
    expected = tuple(bool(here & space.variant_mask(v.id)) for v in subject.family.variants)
    assert posterior(build_tables(subject), evidence).possible == expected


def _table_family(rows: dict[str, str]) -> Family:
    """One letter a feature, each its own part, never swapped."""
    count = len(next(iter(rows.values())))
    features = [Feature(f"f{i}", tuple(sorted({row[i] for row in rows.values()}))) for i in range(count)]
    made = [Variant(v, {f"f{i}": (x,) for i, x in enumerate(row)}) for v, row in rows.items()]
    return Family("table", tuple(made), tuple(features))


def _wrong(rate: float) -> Rates:
    """Nothing swapped, looks wrong at one rate, no 'fits none'."""
    return Rates(
        none=0.0, known=(History(1.0),), unknown=(), wrong=dict.fromkeys(("doubtful", "sure", "checked"), rate)
    )


def test_worked_example_of_a_soft_update() -> None:
    """Generalised binary search with noise (Nowak 2011): prior 1/2, 1/4, 1/4, error 0.1."""
    family = _table_family({"h1": "101", "h2": "110", "h3": "001"})
    facts = {"h1": VariantFacts(weight=2.0)}
    tables = build_tables(Subject(family, facts), _wrong(0.1))
    looks = (saw("f0", "1"), saw("f1", "0"), saw("f2", "0"))
    wanted = [(9 / 14, 9 / 28, 1 / 28), (0.9, 0.05, 0.05), (9 / 14, 9 / 28, 1 / 28)]
    for count, expected in enumerate(wanted, 1):
        assert posterior(tables, Evidence(looks[:count])).variants == pytest.approx(expected, abs=1e-12)


def test_posterior_equals_categorical_naive_bayes() -> None:
    """scikit-learn's CategoricalNB fitted on counts that stand for our confusion of 8 in 10."""
    rows = {"a": "000", "b": "011", "c": "102", "d": "120"}
    family = Family(
        "table",
        tuple(Variant(v, {f"f{i}": (x,) for i, x in enumerate(row)}) for v, row in rows.items()),
        tuple(Feature(f"f{i}", ("0", "1", "2")) for i in range(3)),
    )
    tables = build_tables(Subject(family), _wrong(0.2))
    samples, labels = [], []
    for v, row in rows.items():
        for k in range(10):  # 8 as they are, one each of the two other forms
            samples.append([(int(x) + max(0, k - 7)) % 3 for x in row])
            labels.append(v)
    model = CategoricalNB(alpha=1e-9, min_categories=3).fit(np.array(samples), labels)
    for look in np.ndindex(3, 3, 3):
        evidence = Evidence(tuple(saw(f"f{i}", str(x)) for i, x in enumerate(look)))
        expected = model.predict_proba(np.array([look]))[0]
        assert posterior(tables, evidence).variants == pytest.approx(expected, abs=1e-8)


def test_swap_costs_of_the_worked_table() -> None:
    """Table W: swap chances .01, .1, .2, .2, observed (a, b, y, 3); recomputed by hand in the reference notes."""
    rows = {
        "V1": "aax1",
        "V2": "aay1",
        "V3": "abx1",
        "V4": "aby2",
        "V5": "bax2",
        "V6": "bay3",
        "V7": "bbx3",
        "V8": "cby3",
    }
    chances = (0.01, 0.1, 0.2, 0.2)
    looks = tuple(saw(f"f{i}", x) for i, x in enumerate("aby3"))
    family = _table_family(rows)
    expected = []
    for row in rows.values():
        like = 1.0
        for i, (mine, seen) in enumerate(zip(row, "aby3", strict=True)):
            others = len(family.features[i].forms) - 1
            like *= 1 - chances[i] if mine == seen else chances[i] / others
        expected.append(like)
    shares = [x / sum(expected) for x in expected]
    assert [round(shares[i], 4) for i in (3, 2, 1, 7, 0)] == [0.6925, 0.1731, 0.0769, 0.0280, 0.0192]
    cares = ("sure", "doubtful", "checked", "checked")
    rates = Rates(none=0.0, known=(History(1.0),), unknown=(), wrong={"sure": 0.01, "doubtful": 0.1, "checked": 0.2})
    seen = tuple(saw(look.feature, *look.forms, care=care) for look, care in zip(looks, cares, strict=True))
    assert posterior(build_tables(Subject(family), rates), Evidence(seen)).variants == pytest.approx(shares, abs=1e-12)


# ---- honest answers


def test_no_evidence_gives_the_priors_and_says_so() -> None:
    tables = demo_tables()
    found = posterior(tables, Evidence())
    assert found.variants == pytest.approx([0.85 / 4] * 4)
    assert judge(tables, Evidence(), found).verdict == "nothing seen"
    unseen = Evidence((saw("lamp"),))
    assert judge(tables, unseen, posterior(tables, unseen)).verdict == "nothing seen"


def test_this_or_that_over_all_forms_tells_nothing() -> None:
    tables = demo_tables()
    evidence = Evidence((saw("lamp", "bracket", "stalk", "none", "missing"),))
    assert posterior(tables, evidence).variants == pytest.approx(posterior(tables, Evidence()).variants)


def test_impossible_evidence_names_nobody() -> None:
    tables = demo_tables(ALL_SURE)
    evidence = Evidence((saw("bed", "square"), saw("hook", "rocks")))
    found = posterior(tables, evidence)
    assert judge(tables, evidence, found).verdict == "impossible"
    assert sum(found.variants) == 0


def test_evidence_that_no_machine_shows_is_said_to_be_so() -> None:
    tables = demo_tables()
    evidence = Evidence((saw("bed", "square"), saw("pillar", "plain"), saw("lamp", "bracket")))
    judgement = judge(tables, evidence, posterior(tables, evidence))
    assert judgement.against_all


def test_missing_where_nothing_can_be_lost_is_against_all() -> None:
    tables = demo_tables()
    evidence = Evidence((saw("bed", "missing"),))
    found = posterior(tables, evidence)
    assert judge(tables, evidence, found).against_all
    assert found.variants == pytest.approx(posterior(tables, Evidence()).variants)


def test_what_nothing_can_tell_apart_is_answered_together() -> None:
    rows = {"a": "00", "b": "00", "c": "11"}
    tables = build_tables(Subject(_table_family(rows)), _wrong(0.001))
    evidence = Evidence((saw("f0", "0"), saw("f1", "0")))
    found = posterior(tables, evidence)
    judgement = judge(tables, evidence, found)
    assert (judgement.verdict, judgement.variants) == ("alike", (0, 1))
    assert alike(tables) == ((0, 1), (2,))
    assert found.ranked == (0, 1, 2)


def test_a_machine_unlike_all_fits_none() -> None:
    rows = {v: v * 12 for v in "abc"}
    tables = build_tables(Subject(_table_family(rows)))
    evidence = Evidence(tuple(saw(f"f{i}", "abc"[i % 3]) for i in range(12)))
    found = posterior(tables, evidence)
    assert judge(tables, evidence, found).verdict == "fits none"


def test_unknown_names_are_refused_with_what_there_is() -> None:
    tables = demo_tables()
    with pytest.raises(EvidenceError, match="unknown form 'stork'; it has bracket, stalk, none, missing"):
        posterior(tables, Evidence((saw("lamp", "stork"),)))
    with pytest.raises(EvidenceError, match="unknown feature 'lamb'"):
        posterior(tables, Evidence((saw("lamb", "stalk"),)))
    with pytest.raises(EvidenceError, match="unknown marking 'crest'"):
        posterior(tables, Evidence(markings=("crest",)))


# ---- laws


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_order_of_looks_does_not_matter(seed: int) -> None:
    rng = random.Random(seed)
    tables = build_tables(random_subject(rng, facts=True))
    evidence = random_evidence(rng, tables.subject)
    turned = Evidence(evidence.looks[::-1], evidence.markings[::-1], evidence.serial, evidence.measured)
    assert posterior(tables, turned).variants == pytest.approx(posterior(tables, evidence).variants, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6))
def test_chances_add_up_to_one(seed: int) -> None:
    rng = random.Random(seed)
    tables = build_tables(random_subject(rng, facts=True))
    found = posterior(tables, random_evidence(rng, tables.subject))
    if found.evidence_log > -math.inf:
        assert sum(found.variants) + found.none == pytest.approx(1, abs=1e-12)
    assert all(0 <= p <= 1 + 1e-12 for p in (*found.variants, found.none))


def test_a_swapped_part_counts_once_however_many_features_it_carries() -> None:
    """Table W by parts: f2 and f3 on one part, so (b, b, y, 2) is one part away from V4 and from V5."""
    rows = {
        "V1": "aax1",
        "V2": "aay1",
        "V3": "abx1",
        "V4": "aby2",
        "V5": "bax2",
        "V6": "bay3",
        "V7": "bbx3",
        "V8": "cby3",
    }
    plain = _table_family(rows)
    by_part, by_feature = (_chances_of(plain, parts) for parts in (("P1", "P2", "P2", "P3"), ("", "", "", "")))
    assert set(sorted(range(8), key=lambda v: -by_part[v])[:2]) == {3, 4}
    assert by_part[4] > 1.5 * by_feature[4]


def _chances_of(plain: Family, parts: tuple[str, ...]) -> tuple[float, ...]:
    features = tuple(Feature(f.id, f.forms, part, "often") for f, part in zip(plain.features, parts, strict=True))
    tables = build_tables(Subject(Family("parts", plain.variants, features)), Rates(none=0.0, unknown=()))
    return posterior(tables, Evidence(tuple(saw(f"f{i}", x) for i, x in enumerate("bby2")))).variants
