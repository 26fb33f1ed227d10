"""Published data: animals, digits, mushrooms. Figures from UCI or recomputed by another program."""

from __future__ import annotations

import itertools
import math
from collections import Counter

import pytest
from scipy.stats import entropy
from sklearn.metrics import mutual_info_score

from handwheel.identify.build import build_tables
from handwheel.identify.conflicts import clashes, misfits
from handwheel.identify.evidence import Evidence, saw
from handwheel.identify.facts import Subject
from handwheel.identify.key import key_of
from handwheel.identify.key_search import Search, huffman
from handwheel.identify.key_table import gain, label_weights, plain_table
from handwheel.identify.posterior import posterior
from handwheel.identify.rates import History, Rates
from handwheel.identify.tables import Tables
from handwheel.machines.questions import Family, Feature, Variant
from identify_published_data import DIGITS, led_digits, mushrooms, zoo, zoo_yes_no


def _digit_tables(wrong: float) -> Tables:
    features = tuple(Feature(f"s{i}", ("0", "1")) for i in range(7))
    made = tuple(Variant(str(d), {f"s{i}": (x,) for i, x in enumerate(row)}) for d, row in enumerate(DIGITS))
    rates = Rates(
        none=0.0, known=(History(1.0),), unknown=(), wrong=dict.fromkeys(("doubtful", "sure", "checked"), wrong)
    )
    return build_tables(Subject(Family("digits", made, features)), rates)


def _read(shown: list[str] | tuple[str, ...]) -> Evidence:
    return Evidence(tuple(saw(f"s{i}", x) for i, x in enumerate(shown)))


def test_digits_with_a_tenth_of_noise_are_right_74_times_in_100() -> None:
    """UCI LED display domain (Breiman et al. 1984): best possible accuracy 74 %; exact sum 0.740022."""
    tables = _digit_tables(0.1)
    right = 0.0
    for shown in itertools.product("01", repeat=7):
        found = posterior(tables, _read(shown))
        digit = DIGITS[found.ranked[0]]
        right += math.prod(0.9 if a == b else 0.1 for a, b in zip(shown, digit, strict=True)) / 10
    assert round(right, 6) == 0.740022
    assert round(right, 2) == 0.74


@pytest.mark.long
def test_500_noisy_digits() -> None:
    """KEEL's led7digit: the fewest mismatches hold the true digit in 419 of 500, alone in 336, tie in 96."""
    tables = _digit_tables(0.1)
    holds = alone = ties = 0
    for shown, digit in led_digits():
        found = posterior(tables, _read(shown)).variants
        best = [v for v, p in enumerate(found) if p > max(found) - 1e-9]
        holds += int(digit) in best
        alone += best == [int(digit)]
        ties += len(best) > 1
    assert (holds, alone, ties) == (419, 336, 96)


ZOO_BITS = {
    "legs": 1.3630,
    "milk": 0.9743,
    "toothed": 0.8657,
    "eggs": 0.8301,
    "hair": 0.7907,
    "feathers": 0.7179,
    "backbone": 0.6762,
    "breathes": 0.6145,
    "tail": 0.5005,
    "airborne": 0.4697,
    "fins": 0.4666,
    "aquatic": 0.3895,
    "catsize": 0.3085,
    "venomous": 0.1331,
    "predator": 0.0934,
    "domestic": 0.0507,
}


@pytest.mark.long
def test_zoo_information() -> None:
    features, rows = zoo()
    table = plain_table(rows, features)
    counts = Counter(label for _, label, _ in rows)
    assert sorted(counts.values(), reverse=True) == [41, 20, 13, 10, 8, 5, 4]
    assert round(float(entropy(list(counts.values()), base=2)), 4) == 2.3906
    assert len(table.labels) == 59
    for q, name in enumerate(features):
        found = gain(table, table.whole, q)
        assert round(found, 4) == ZOO_BITS[name]
        shared = mutual_info_score([row[q] for row, _, _ in rows], [label for _, label, _ in rows]) / math.log(2)
        assert found == pytest.approx(shared, abs=1e-12)


@pytest.mark.long
def test_zoo_yes_no_key_is_the_best_there_is() -> None:
    """265 questions for 101 animals; Huffman's bound 247; greedy by information finds it too."""
    names, rows = zoo_yes_no()
    table = plain_table(rows, names)
    search = Search(table, 200_000)
    assert len(names) == 21
    assert search.best_cost(table.whole) == search.greedy_cost(table.whole) == 265
    assert round(huffman(list(label_weights(table, table.whole).values()))) == 247
    key = key_of(table)
    assert key.is_best and key.looks * 101 == pytest.approx(265)
    assert [question.feature for question in key.questions][:3] == ["milk", "feathers", "backbone"]
    assert key_of(table, small=0).looks * 101 == pytest.approx(265)


@pytest.mark.long
def test_zoo_six_way_key() -> None:
    """Best 210, greedy by information 234 (1.11 times), with a look ahead 210."""
    features, rows = zoo()
    table = plain_table(rows, features)
    search = Search(table, 200_000)
    assert (search.best_cost(table.whole), search.greedy_cost(table.whole)) == (210, 234)
    assert key_of(table, small=0).looks * 101 == pytest.approx(210)


@pytest.mark.long
def test_zoo_telling_all_descriptions_apart() -> None:
    """59 descriptions: greedy 288 questions six-way, 354 yes/no; Huffman's bound 349."""
    for (names, rows), expected in ((zoo(), 288), (zoo_yes_no(), 354)):
        distinct = sorted({tuple(row) for row, _, _ in rows})
        if len(names) == 21:
            order = sorted({tuple(row) for row, _, _ in zoo()[1]})
            legs = {tuple(y): tuple(x) for (x, _, _), (y, _, _) in zip(zoo()[1], rows, strict=True)}
            distinct.sort(key=lambda row: order.index(legs[row]))
        table = plain_table([(list(row), str(i), 1.0) for i, row in enumerate(distinct)], names)
        assert Search(table).greedy_cost(table.whole) == expected
    assert round(huffman([1.0] * 59)) == 349


@pytest.mark.long
def test_one_swapped_feature_of_an_animal() -> None:
    """All 1,180 single changes: 104 are another real animal; else the truth is likeliest, 894 times alone."""
    features, rows = zoo()
    distinct = sorted({tuple(row) for row, _, _ in rows})
    forms = [sorted({row[i] for row in distinct}) for i in range(16)]
    # One error cost for every feature, so that the likeliest are those with the fewest mismatches.
    family = Family(
        "zoo",
        tuple(Variant(str(i), {f: (x,) for f, x in zip(features, row, strict=True)}) for i, row in enumerate(distinct)),
        tuple(
            Feature(f, (*forms[i], *(f"never-{k}" for k in range(6 - len(forms[i]))))) for i, f in enumerate(features)
        ),
    )
    rates = Rates(none=0.0, known=(History(1.0),), unknown=(), wrong={"sure": 0.05, "doubtful": 0.1, "checked": 0.01})
    tables = build_tables(Subject(family), rates)
    cases = landed = among = alone = 0
    for i, row in enumerate(distinct):
        for f in range(16):
            for other in forms[f]:
                if other == row[f]:
                    continue
                changed = (*row[:f], other, *row[f + 1 :])
                looks = tuple(saw(name, x) for name, x in zip(features, changed, strict=True))
                chances = posterior(tables, Evidence(looks)).variants
                best = [v for v, p in enumerate(chances) if p > max(chances) * (1 - 1e-6)]
                cases += 1
                landed += changed in distinct
                among += i in best
                alone += best == [i]
    assert (cases, landed, among, alone) == (1180, 104, 1076, 894)


QUERIES = {
    (("milk", "1"), ("eggs", "1")): 0,
    (("hair", "1"), ("legs", "6"), ("domestic", "1")): 0,
    (("backbone", "0"), ("legs", "8")): 0,
    (("feathers", "1"), ("milk", "1")): 1,
    (("milk", "1"), ("venomous", "1")): 1,
}
"""Looks at an animal, and the fewest of them that must be wrong."""


@pytest.mark.long
def test_which_animals_show_it_all_and_which_looks_clash() -> None:
    """A mammal that lays eggs is the platypus alone; feathers and milk together clash: one is wrong, of 61 animals."""
    features, rows = zoo()
    forms = [tuple(sorted({row[i] for row, _, _ in rows})) for i in range(16)]
    made = tuple(
        Variant(f"{n}", {f: (x,) for f, x in zip(features, row, strict=True)}) for n, (row, _, _) in enumerate(rows)
    )
    tables = build_tables(Subject(Family("zoo", made, tuple(map(Feature, features, forms))), {}))
    counted = {}
    for looks, fewest in QUERIES.items():
        evidence = Evidence(tuple(saw(feature, form) for feature, form in looks))
        wrong = [len(misfits(tables, evidence, v)) for v in range(len(rows))]
        assert min(wrong) == fewest
        assert sum(posterior(tables, evidence).possible) == (wrong.count(0))
        clashed = [each.carriers for each in clashes(tables, evidence)]
        assert clashed == ([tuple(sorted((f for f, _ in looks), key=features.index))] if fewest else [])
        counted[looks] = wrong.count(fewest)
    assert list(counted.values()) == [1, 1, 2, 61, 49]


@pytest.mark.long
def test_mushrooms() -> None:
    """5,644 rows; odour 0.8597 bits first; greedy key 8532 questions; the published rule by odour misses 88."""
    rows = mushrooms()
    table = plain_table(rows, [f"c{i}" for i in range(22)])
    counts = Counter(label for _, label, _ in rows)
    assert sorted(counts.values()) == [2156, 3488]
    bits = [gain(table, table.whole, q) for q in range(22)]
    assert max(range(22), key=bits.__getitem__) == 4
    assert sorted((round(b, 4) for b in bits), reverse=True)[:5] == [0.8597, 0.5829, 0.4629, 0.4246, 0.4087]
    assert bits[15] == 0
    for q in range(22):
        shared = mutual_info_score([row[q] for row, _, _ in rows], [label for _, label, _ in rows]) / math.log(2)
        assert bits[q] == pytest.approx(shared, abs=1e-9)
    assert Search(table).greedy_cost(table.whole) == 8532
    poisonous = [row for row, label, _ in rows if label == "p"]
    assert sum(row[4] in "aln" for row in poisonous) == 88
    assert sum(row[4] in "aln" and row[19] != "r" for row in poisonous) == 16
