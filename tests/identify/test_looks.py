"""The next look: information against SciPy and scikit-learn, published worked figures, effort, stopping."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy.stats import entropy
from sklearn.metrics import mutual_info_score

from handwheel.identify.build import build_tables
from handwheel.identify.evidence import Evidence, read_serial, saw
from handwheel.identify.facts import Block, Subject, VariantFacts
from handwheel.identify.looks import Plan, answer_chances, next_looks
from handwheel.identify.made_up import made_up
from handwheel.identify.posterior import posterior
from handwheel.identify.rates import ALL_SURE, History, Rates
from handwheel.identify.tables import Tables
from handwheel.machines.questions import Family, Feature, Variant
from identify_cases import demo_tables, random_evidence, random_subject

ROWS = {"V1": "aax1", "V2": "aay1", "V3": "abx1", "V4": "aby2", "V5": "bax2", "V6": "bay3", "V7": "bbx3", "V8": "cby3"}


def _family(rows: dict[str, str], effort: str = "glance") -> Family:
    count = len(next(iter(rows.values())))
    forms = [sorted({row[i] for row in rows.values()} - {"?"}) for i in range(count)]
    features = tuple(Feature(f"f{i}", tuple(forms[i])) for i in range(count))
    made = [Variant(v, {f"f{i}": (x,) for i, x in enumerate(row) if x != "?"}) for v, row in rows.items()]
    return Family("table", tuple(made), features)


def _bits(tables: Tables, evidence: Evidence | None = None) -> dict[str, float]:
    evidence = evidence or Evidence()
    plan = Plan(little=0.0, enough=2.0)
    return {w.id: w.bits for w in next_looks(tables, evidence, posterior(tables, evidence), plan).looks}


def test_information_of_the_worked_table() -> None:
    bits = _bits(build_tables(Subject(_family(ROWS)), ALL_SURE))
    assert {k: round(v, 4) for k, v in bits.items()} == {"f0": 1.4056, "f1": 1.0, "f2": 1.0, "f3": 1.5613}


def test_information_equals_scikit_learn_where_nothing_is_swapped() -> None:
    tables = build_tables(Subject(_family(ROWS)), ALL_SURE)
    for i in range(4):
        expected = mutual_info_score([row[i] for row in ROWS.values()], list(ROWS)) / math.log(2)
        assert _bits(tables)[f"f{i}"] == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("seed", range(25))
def test_information_equals_scipy_entropies_on_any_family(seed: int) -> None:
    """Expected drop of scipy.stats.entropy over the answers, each answer taken as evidence of its own.

    Twins are left out: their share comes with a second contradiction, which the worth of a look does not foresee.
    """
    rng = random.Random(seed)
    tables = build_tables(random_subject(rng, facts=True), Rates(twin=0.0))
    evidence = random_evidence(rng, tables.subject, 0.4)
    found = posterior(tables, evidence)
    if not sum(found.variants) + found.none:
        pytest.skip("impossible evidence")
    before = entropy([*found.variants, found.none], base=2)
    taken = {look.feature for look in evidence.looks}
    for i, trait in enumerate(tables.traits):
        if trait.is_marking or trait.id in taken:
            continue
        drop = before
        chances = [sum(row) for row in answer_chances(tables, found, i)]
        for chance, answer in zip(chances, trait.answers, strict=True):
            after = posterior(tables, Evidence((*evidence.looks, saw(trait.id, answer)), *_rest(evidence)))
            if chance:
                drop -= chance * entropy([*after.variants, after.none], base=2)
        assert sum(chances) == pytest.approx(1, abs=1e-9)
        assert _bits(tables, evidence)[trait.id] == pytest.approx(max(drop, 0), abs=1e-9)


def _rest(evidence: Evidence) -> tuple[object, ...]:
    return evidence.markings, evidence.serial, evidence.measured  # type: ignore[return-value]


def test_information_with_a_tenth_of_wrong_answers() -> None:
    """Seven-segment digits, ten per cent noise: H(q) - H(0.1) for 6, 7, 8, 9 of ten digits lit."""
    lit = {6: 0.5125, 7: 0.4558, 8: 0.3578, 9: 0.2111}
    rows = {str(d): "".join("1" if d < k else "0" for k in lit) for d in range(10)}
    rates = Rates(none=0.0, known=(History(1.0),), unknown=(), wrong={"sure": 0.1, "doubtful": 0.1, "checked": 0.1})
    bits = _bits(build_tables(Subject(_family(rows)), rates))
    assert [round(bits[f"f{i}"], 4) for i in range(4)] == list(lit.values())


def test_a_variant_without_record_may_show_any_form() -> None:
    """Unknown is no state: a look that is recorded for a third of the variants tells less than one for all."""
    known = {f"v{i}": "a" if i < 20 else "b" for i in range(40)}
    bits = _bits(build_tables(Subject(_family({**known, **{f"u{i}": "?" for i in range(20)}})), ALL_SURE))
    joint = np.array([[1 / 60, 0]] * 20 + [[0, 1 / 60]] * 20 + [[1 / 120, 1 / 120]] * 20)
    expected = entropy(joint.sum(0), base=2) + entropy(joint.sum(1), base=2) - entropy(joint.ravel(), base=2)
    assert bits["f0"] == pytest.approx(expected, abs=1e-12)
    inapplicable = {**known, **{f"u{i}": "c" for i in range(20)}}
    assert _bits(build_tables(Subject(_family(inapplicable)), ALL_SURE))["f0"] == pytest.approx(math.log2(3), abs=1e-12)


def test_effort_decides_between_looks_that_tell_as_much() -> None:
    made = (Variant("a", {"x": ("0",), "y": ("0",)}), Variant("b", {"x": ("1",), "y": ("1",)}))
    features = (Feature("x", ("0", "1"), effort="strip"), Feature("y", ("0", "1"), effort="tool"))
    tables = build_tables(Subject(Family("two", made, features)), ALL_SURE)
    found = posterior(tables, Evidence())
    assert [w.id for w in next_looks(tables, Evidence(), found).looks] == ["y", "x"]
    dear = Plan(seconds={"glance": 1, "tool": 500, "strip": 100})
    assert [w.id for w in next_looks(tables, Evidence(), found, dear).looks] == ["x", "y"]


def test_of_equal_looks_the_first_of_the_family_comes_first() -> None:
    tables = build_tables(Subject(_family({"a": "000", "b": "111"})), ALL_SURE)
    found = posterior(tables, Evidence())
    assert [w.id for w in next_looks(tables, Evidence(), found).looks] == ["f0", "f1", "f2"]


def test_the_serial_is_worth_what_its_blocks_tell() -> None:
    """Two variants, each with half a block to itself and the other half shared; nothing misread or unrecorded."""
    facts = {"a": VariantFacts((Block("", "0000", "1999"),)), "b": VariantFacts((Block("", "1000", "2999"),))}
    tables = build_tables(Subject(_family({"a": "0", "b": "0"}), facts), ALL_SURE)
    assert _bits(tables)["serial"] == pytest.approx(0.5, abs=1e-12)
    assert "serial" not in _bits(tables, Evidence(serial=read_serial("0001")))


def test_what_cannot_be_seen_is_not_asked_again() -> None:
    assert "lamp" in _bits(demo_tables())
    assert "lamp" not in _bits(demo_tables(), Evidence((saw("lamp"),)))


def test_it_stops_when_settled_and_when_nothing_tells() -> None:
    tables = build_tables(Subject(_family({"a": "0", "b": "0", "c": "1"})), ALL_SURE)
    first = next_looks(tables, Evidence(), posterior(tables, Evidence()))
    assert first.stop == "" and [w.id for w in first.looks] == ["f0"]
    for form, stop in (("0", "alike"), ("1", "settled")):
        evidence = Evidence((saw("f0", form),))
        assert next_looks(tables, evidence, posterior(tables, evidence)).stop == stop
    demo = demo_tables()
    everything = Evidence(tuple(saw(t.id) for t in demo.traits if not t.is_marking), serial=read_serial("Q1"))
    assert next_looks(demo, everything, posterior(demo, everything)).looks[0].id == "mass"


def test_markings_are_offered_as_no_look() -> None:
    assert not [name for name in _bits(demo_tables()) if name.startswith("marking")]


def test_a_variant_is_not_settled_while_a_glance_at_a_casting_may_still_overturn_it() -> None:
    """The finish all but names the variant; the other castings are still offered, until little is left to tell."""
    tables = build_tables(made_up(random.Random(0)))
    variant = tables.subject.family.variants[4]
    fixed = [f for f in tables.subject.family.features if f.swapped == "never" and f.effort == "glance"]
    evidence, stops = Evidence(), []
    for feature in fixed:
        evidence = Evidence((*evidence.looks, saw(feature.id, variant.features[feature.id][0], care="checked")))
        found = posterior(tables, evidence)
        offered = next_looks(tables, evidence, found)
        left = {worth.id for worth in offered.looks} & {f.id for f in fixed}
        assert not (left and offered.stop in ("settled", "alike"))
        stops.append(offered.stop)
    assert not left and stops[0] == ""
