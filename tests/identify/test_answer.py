"""Parts that are not original, contradictions, years: what is said beside the probabilities."""

from __future__ import annotations

import itertools
import math
import random
from collections.abc import Mapping

import pytest
from pysat.examples.hitman import Hitman

from handwheel.identify.answer import identify
from handwheel.identify.build import build_tables
from handwheel.identify.conflicts import Names, clashes, misfits, say_clash, say_misfit
from handwheel.identify.evidence import Evidence, Measured, read_serial, saw
from handwheel.identify.facts import Marking, Subject, Years
from handwheel.identify.originals import accounts, changed_parts
from handwheel.identify.posterior import posterior
from handwheel.identify.rates import Rates
from handwheel.machines.questions import Family, Feature, Variant
from identify_cases import demo_tables, random_evidence, random_subject

WHOLE_FOURTH = (
    saw("bed", "round"),
    saw("pillar", "boss"),
    saw("winder", "latch"),
    saw("winder-tyre", "rubber"),
    saw("hook", "rocks"),
    saw("lamp", "stalk"),
)


def _with(looks: tuple[object, ...], **forms: str) -> Evidence:
    return Evidence(tuple(saw(look.feature, forms.get(look.feature, next(iter(look.forms)))) for look in looks))  # type: ignore[attr-defined]


def test_a_machine_as_it_left_the_works() -> None:
    answer = identify(
        demo_tables(), Evidence(WHOLE_FOURTH, ("arm-name",), read_serial("B7123"), (Measured("mass", 12.5),))
    )
    assert answer.judgement.verdict == "settled"
    assert answer.top[0].variant == "fourth" and not answer.top[0].changed and not answer.top[0].misfits
    assert not answer.clashes and not answer.look_again
    assert answer.years == Years(1946, 1955)


def test_a_winder_from_an_older_pattern_is_named_with_its_donors() -> None:
    evidence = Evidence(
        (saw("winder", "plain"), saw("winder-tyre", "belt"), *(k for k in WHOLE_FOURTH if "winder" not in k.feature)),
        serial=read_serial("B7123"),
    )
    answer = identify(demo_tables(), evidence)
    assert answer.top[0].variant == "fourth"
    assert [(part.carrier, part.likeliest, part.donors) for part in answer.top[0].changed] == [
        ("winder", "donor", ("first", "second"))
    ]


def test_a_lost_part_is_missing_not_changed_for_another() -> None:
    evidence = Evidence((*WHOLE_FOURTH[:2], saw("winder", "missing"), saw("winder-tyre", "missing"), *WHOLE_FOURTH[4:]))
    answer = identify(demo_tables(), evidence)
    assert [(part.carrier, part.likeliest) for part in answer.top[0].changed] == [("winder", "missing")]


def test_a_wrong_look_at_a_casting_is_doubted_not_believed() -> None:
    evidence = Evidence((saw("bed", "square"), *WHOLE_FOURTH[1:]), ("arm-name",), read_serial("B7123"))
    answer = identify(demo_tables(), evidence)
    assert answer.top[0].variant == "fourth"
    assert not answer.top[0].changed
    assert answer.look_again[0][0] == "head"


@pytest.mark.parametrize("seed", range(40))
def test_chances_of_part_kinds_add_up_and_agree_with_bayes(seed: int) -> None:
    """Chance of 'original' against the posterior with the part's swap and loss rates set to nothing."""
    rng = random.Random(seed)
    tables = build_tables(random_subject(rng, variants=3, facts=True))
    found = posterior(tables, random_evidence(rng, tables.subject))
    for v in range(3):
        if found.variants[v] > 0:
            for account in accounts(tables, found, v):
                assert sum(p for _, p in account.chances) == pytest.approx(1, abs=1e-9)
                assert account.not_original <= 1 + 1e-12


def test_kind_of_a_part_by_hand() -> None:
    """Two variants, one part, swapped one time in four, all from the other variant; looks one in ten wrong."""
    made = (Variant("a", {"x": ("0",)}), Variant("b", {"x": ("1",)}))
    family = Family("two", made, (Feature("x", ("0", "1"), swapped="often"),))
    rates = Rates(none=0.0, unknown=(), known=(Rates().known[1],), donor=1.0, outsider=0.0, stranger=0.0)
    rates.wrong["sure"] = 0.1
    tables = build_tables(Subject(family), rates)
    found = posterior(tables, Evidence((saw("x", "1"),)))
    account = accounts(tables, found, 0)[0]
    donor, slip = 0.25 * 0.9, 0.75 * 0.1
    assert dict(account.chances)["donor"] == pytest.approx(donor / (donor + slip))
    assert dict(account.chances)["wrong look"] == pytest.approx(slip / (donor + slip))
    assert dict(account.chances)["original"] == 0
    assert changed_parts(tables, found, 0) == (account,)
    assert changed_parts(tables, found, 1) == ()


# ---- contradictions


def _table(rows: Mapping[str, str]) -> Family:
    count = len(next(iter(rows.values())))
    features = tuple(Feature(f"f{i}", tuple(sorted({row[i] for row in rows.values()}))) for i in range(count))
    made = tuple(Variant(v, {f"f{i}": (x,) for i, x in enumerate(row)}) for v, row in rows.items())
    return Family("table", made, features)


TABLE_W = {
    "V1": "aax1",
    "V2": "aay1",
    "V3": "abx1",
    "V4": "aby2",
    "V5": "bax2",
    "V6": "bay3",
    "V7": "bbx3",
    "V8": "cby3",
}


def test_the_one_clash_of_the_worked_table() -> None:
    tables = build_tables(Subject(_table(TABLE_W)))
    evidence = Evidence(tuple(saw(f"f{i}", x) for i, x in enumerate("aby3")))
    assert [clash.carriers for clash in clashes(tables, evidence)] == [("f0", "f3")]
    assert [len(misfits(tables, evidence, v)) for v in range(8)] == [3, 2, 2, 1, 4, 2, 2, 1]


@pytest.mark.parametrize("seed", range(20))
def test_smallest_explanations_hit_every_clash(seed: int) -> None:
    """Reiter 1987: minimal sets of parts to doubt = minimal hitting sets of the clashes; python-sat's Hitman."""
    rng = random.Random(seed)
    rows = {f"v{i}": "".join(rng.choice("ab") for _ in range(3)) for i in range(3)}
    family = _table({**rows, "all-a": "aaa", "all-b": "bbb"})
    looks = tuple(saw(f"f{i}", rng.choice("ab")) for i in range(3))
    tables = build_tables(Subject(family))
    found = [frozenset(clash.carriers) for clash in clashes(tables, Evidence(looks))]
    differing = {
        frozenset(look.feature for look in looks if not look.forms & set(variant.features[look.feature]))
        for variant in family.variants
    }
    diagnoses = {d for d in differing if not any(other < d for other in differing)}
    with Hitman(bootstrap_with=[sorted(clash) for clash in found] or [], htype="sorted") as hitman:
        hitting = {frozenset(h) for h in hitman.enumerate()} if found else {frozenset[str]()}
    assert hitting == diagnoses


def test_no_clash_where_a_variant_has_it_all() -> None:
    assert clashes(demo_tables(), Evidence(WHOLE_FOURTH)) == ()


def test_contradictions_in_words() -> None:
    tables = demo_tables()
    evidence = Evidence((saw("bed", "square"), saw("lamp", "stalk"), saw("winder", "missing")))
    names = Names({"bed": "bed", "lamp": "lamp"}, {("lamp", "stalk"): "swivel stalk"}, {"fourth": "The fourth pattern"})
    (clash,) = clashes(tables, evidence)
    assert say_clash(tables, evidence, clash, names) == (
        "No pattern left the works with bed: square and lamp: swivel stalk together."
    )
    said = [say_misfit(misfit, names) for misfit in misfits(tables, evidence, 3)]
    assert said == [
        "The fourth pattern left the works with bed: round, not square; that part is not exchanged, "
        "so it is another machine or the look was wrong.",
        "The fourth pattern left the works with winder: latch; here the part is missing.",
    ]


# ---- years


def test_years_are_cut_by_the_block_and_by_a_date_on_the_casting() -> None:
    tables = demo_tables()
    assert identify(tables, Evidence(serial=read_serial("A1234"))).years == Years(1921, 1924)
    family = tables.subject.family
    dated = Marking("patent", variants={v.id: 1.0 for v in family.variants}, not_before=1929)
    on_winder = Marking("patent", "winder", {v.id: 1.0 for v in family.variants}, not_before=1929)
    seen = Evidence(markings=("patent",), serial=read_serial("A6234"))
    for marking, first in ((dated, 1929), (on_winder, 1927)):
        subject = Subject(family, tables.subject.facts, (marking,))
        assert identify(build_tables(subject), seen).years == Years(first, 1934)


def test_years_span_all_that_is_still_in_play() -> None:
    assert identify(demo_tables(), Evidence()).years == Years(1921, 1955)


def test_unknown_years_are_not_guessed() -> None:
    tables = build_tables(Subject(_table(TABLE_W)))
    assert identify(tables, Evidence()).years is None


def test_answer_is_the_same_every_time() -> None:
    for seed in range(10):
        rng = random.Random(seed)
        tables = build_tables(random_subject(rng, facts=True))
        evidence = random_evidence(rng, tables.subject)
        assert identify(tables, evidence) == identify(tables, evidence)
    assert math.isfinite(sum(p for p in itertools.chain(identify(demo_tables(), Evidence()).posterior.variants)))
