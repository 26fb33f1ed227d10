"""Serial and measurements that speak against a variant: found by listing and by SciPy's normal, said alike in both."""

from __future__ import annotations

import doctest
import json
import random
import shutil
import subprocess
from dataclasses import replace

import pytest
from scipy.stats import norm

from handwheel.identify import readings
from handwheel.identify.answer import identify
from handwheel.identify.build import build_tables
from handwheel.identify.compile import answer_data, compiled, evidence_data
from handwheel.identify.conflicts import Names, clashes, misfits, say_clash, say_misfit
from handwheel.identify.evidence import Evidence, Measured, read_serial, saw
from handwheel.identify.facts import Block, Measure, Subject, VariantFacts
from handwheel.identify.readings import FAR, against, in_unit
from handwheel.identify.tables import Tables
from handwheel.machines.questions import Family, Feature, Variant
from identify_cases import demo_subject, demo_tables, random_evidence, random_subject
from identify_script_cases import SCRIPT, differences

NAMES = Names({"bed": "bed"}, {}, {"first": "The first", "second": "The second", "fourth": "The fourth"})


def test_examples_of_readings_run() -> None:
    result = doctest.testmod(readings)
    assert result.attempted > 0 and result.failed == 0


def test_a_serial_in_no_block_is_said_of_each_variant_and_of_all() -> None:
    tables = demo_tables()
    evidence = Evidence(serial=read_serial("q12?[38]"))
    (clash,) = clashes(tables, evidence)
    assert say_clash(tables, evidence, clash, NAMES) == "No pattern left the works with serial number: Q12?[38]."
    said = [say_misfit(each, NAMES) for each in misfits(tables, evidence, 1)]
    assert said == [
        "The second has the serial numbers A5000 to A9999; Q12?[38] is none of them: it was read wrongly or stamped "
        "anew, or it is another machine."
    ]


def test_a_serial_in_a_gap_is_none_of_the_block() -> None:
    tables = demo_tables()
    assert [each.name for each in against(tables, Evidence(serial=read_serial("A7500")), 1)] == ["serial"]
    assert not list(against(tables, Evidence(serial=read_serial("A[67]500")), 1))


def test_a_block_used_again_speaks_against_neither() -> None:
    tables = demo_tables()
    evidence = Evidence(serial=read_serial("B5555"))
    assert [bool(list(against(tables, evidence, v))) for v in range(4)] == [True, True, False, False]
    assert clashes(tables, evidence) == ()


def test_a_serial_and_a_casting_of_two_patterns_clash_together() -> None:
    tables = demo_tables()
    evidence = Evidence((saw("bed", "round"),), serial=read_serial("A1234"))
    (clash,) = clashes(tables, evidence)
    assert say_clash(tables, evidence, clash, NAMES) == (
        "No pattern left the works with bed: round and serial number: A1234 together."
    )


def test_a_mass_far_from_the_variants_is_said_with_both() -> None:
    tables = demo_tables()
    evidence = Evidence(measured=(Measured("mass", 14.25, 0.05),))
    said = [say_misfit(each, NAMES) for each in misfits(tables, evidence, 3)]
    assert said == [
        "The fourth has mass of the head 12.4 kg, and 14.25 kg is far from that: something was on it or off it, "
        "or it is another machine."
    ]
    assert not misfits(tables, evidence, 0), "a pattern that nobody weighed may weigh anything"


@pytest.mark.parametrize("error", [0.0, 0.1, 0.7])
def test_far_is_beyond_three_standard_deviations_of_both(error: float) -> None:
    """SciPy's normal distribution: a reading that far off is rarer than 27 in 10,000."""
    tables = demo_tables()
    spread = (0.2**2 + error**2) ** 0.5
    for value in (10 + 0.05 * k for k in range(100)):
        far = bool(list(against(tables, Evidence(measured=(Measured("mass", value, error),)), 3)))
        chance = 2 * float(norm.sf(abs(value - 12.4), scale=spread))
        assert far == (chance < 2 * float(norm.sf(FAR))), value


def test_no_reading_is_against_the_variant_it_was_made_for() -> None:
    rng = random.Random(3)
    for _ in range(30):
        subject = random_subject(rng, facts=True)
        tables = build_tables(subject)
        for v, variant in enumerate(tables.variants):
            for block in subject.of(variant).blocks:
                read = read_serial(f"{block.prefix}{block.last}{block.suffix}")
                assert all(each.name != "serial" for each in against(tables, Evidence(serial=read), v))


def test_many_blocks_are_counted() -> None:
    blocks = tuple(Block("A", f"{n}000", f"{n}499") for n in range(1, 8))
    subject = demo_subject()
    tables = build_tables(replace(subject, facts={**subject.facts, "first": VariantFacts(blocks)}))
    (misfit,) = misfits(tables, Evidence(serial=read_serial("A1600")), 0)
    assert say_misfit(misfit, NAMES).startswith(
        "The first has the serial numbers A1000 to A1499, A2000 to A2499, A3000 to A3499, A4000 to A4499 or 3 more; "
        "A1600 is none of them"
    )


def test_one_far_mass_does_not_overrule_the_castings() -> None:
    """Somebody weighed it with the motor on: castings that agree keep the variant first, and the answer is in doubt."""
    tables = _three_castings()
    looks = tuple(saw(f"c{i}", "x") for i in range(3))
    answer = identify(tables, Evidence(looks, measured=(Measured("mass", 14.3, 0.05),)))
    assert answer.top[0].variant == "a" and 0.4 < answer.top[0].probability < 0.9
    assert answer.judgement.verdict == "open"


def _three_castings() -> Tables:
    features = tuple(Feature(f"c{i}", ("x", "y", "z"), f"cast{i}") for i in range(3))
    made = tuple(Variant(v, {f"c{i}": (form,) for i in range(3)}) for v, form in (("a", "x"), ("b", "y"), ("c", "z")))
    facts = {v: VariantFacts(measures={"mass": Measure(m, 0.24)}) for v, m in (("a", 12.1), ("b", 12.2), ("c", 13.0))}
    return build_tables(Subject(Family("cast", made, features), facts))


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")
def test_the_script_says_the_same_of_readings() -> None:
    code = """
    const engine = require(process.argv[1]);
    const cases = JSON.parse(require("fs").readFileSync(0, "utf8"));
    process.stdout.write(JSON.stringify(cases.map(([family, evidence]) => {
      const answer = engine.identify(family, evidence, {}, 9);
      const said = answer.top.map(c => c.misfits.map(m => engine.sayMisfit(family, c.variant, m)));
      return {misfits: answer.top.map(c => c.misfits), clashes: answer.clashes,
        said: said, clashed: answer.clashes.map(c => engine.sayClash(family, evidence, c))};
    })));
    """
    rng = random.Random(11)
    given, expected = [], []
    for number in range(24):
        tables = demo_tables() if number % 3 == 0 else build_tables(random_subject(rng, facts=True))
        evidence = random_evidence(rng, tables.subject, 0.4)
        answer = identify(tables, evidence, top=9)
        data = answer_data(answer)
        said = [[say_misfit(m, Names()) for m in each.misfits] for each in answer.top]
        clashed = [say_clash(tables, evidence, each, Names()) for each in answer.clashes]
        misfit = [each["misfits"] for each in data["top"]]
        expected.append({"misfits": misfit, "clashes": data["clashes"], "said": said, "clashed": clashed})
        given.append([compiled(tables), evidence_data(evidence)])
    done = subprocess.run(["node", "-e", code, str(SCRIPT)], input=json.dumps(given), capture_output=True, text=True)
    assert differences(expected, json.loads(done.stdout)) == []
    words = json.dumps(expected)
    assert "serial number: " in words and " is none of them" in words and " is far from that" in words


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")
def test_the_script_writes_values_alike() -> None:
    rng = random.Random(2)
    values = [round(rng.uniform(0, 900), rng.randint(0, 4)) for _ in range(500)] + [0.125, 12.005, 10.0, 0.0, 99.995]
    family = compiled(demo_tables())
    code = """
    const engine = require(process.argv[1]);
    const [family, values] = JSON.parse(require("fs").readFileSync(0, "utf8"));
    const text = v => engine.sayClash(family, {measured: [{quantity: "mass", value: v, error: 0}]}, ["reading:mass"]);
    process.stdout.write(JSON.stringify(values.map(text)));
    """
    done = subprocess.run(
        ["node", "-e", code, str(SCRIPT)], input=json.dumps([family, values]), capture_output=True, text=True
    )
    expected = [f"No pattern left the works with mass of the head: {in_unit('mass', value)}." for value in values]
    assert json.loads(done.stdout) == expected
