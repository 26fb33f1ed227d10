"""The script in the browser gives the answers of the engine here, to 1e-9."""

from __future__ import annotations

import json
import random
import shutil
import subprocess

import pytest

from handwheel.identify.answer import identify
from handwheel.identify.build import build_tables
from handwheel.identify.compile import answer_data, compiled, evidence_data
from handwheel.identify.conflicts import Names, clashes, misfits, say_clash, say_clashes, say_misfit
from handwheel.identify.evidence import Evidence, EvidenceError, read_serial, saw
from handwheel.identify.made_up import Size, made_up
from identify_cases import demo_tables, random_evidence, random_subject
from identify_script_cases import SCRIPT, differences, in_node, make_cases

pytestmark = pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")


def test_the_comparison_sees_a_difference() -> None:
    assert differences({"a": [1.0, "x"]}, {"a": [1.0 + 1e-10, "x"]}) == []
    assert differences({"a": [1.0, "x"]}, {"a": [1.0 + 2e-9, "y"]}) == [
        ".a[0]: 1.0 / 1.000000002",
        ".a[1]: 'x' / 'y'",
    ]
    assert differences({"a": 1}, {"b": 1}) and differences([1], [1, 2]) and differences(True, 1)


def test_script_agrees_on_a_fixed_sample() -> None:
    _agree(seed=1, families=40, each=6)


def test_script_agrees_where_castings_are_looked_at_again() -> None:
    """Each casting named wrongly once, wrongly twice, then rightly: the share of a pattern not written down is one."""
    cases, expected = [], []
    for seed in range(4):
        tables = build_tables(made_up(random.Random(seed), Size(6, 14)))
        own = tables.subject.family.variants[seed].features
        fixed = [tables.traits[t] for c in tables.carriers if c.never_swapped for t in c.traits]
        others = {t.id: [form for form in t.answers if form not in own[t.id]] for t in fixed}
        evidence = []
        for casting, wrong in ((name, forms[0]) for name, forms in others.items() if forms):
            right = [saw(t.id, sorted(own[t.id])[0]) for t in fixed if t.id != casting]
            agreed = saw(casting, sorted(own[casting])[0])
            again = ((), (saw(casting, wrong),), (agreed,), (agreed, agreed), (saw(casting, wrong, care="checked"),))
            evidence += [Evidence((*right, saw(casting, wrong), *more)) for more in again]
        cases.append({"family": compiled(tables), "evidence": [evidence_data(each) for each in evidence]})
        expected.append([answer_data(identify(tables, each)) for each in evidence])
    assert differences(expected, in_node(cases)) == []
    assert sum(map(len, expected)) > 40


@pytest.mark.long
@pytest.mark.parametrize("seed", range(2, 12))
def test_script_agrees_on_thousands(seed: int) -> None:
    _agree(seed, families=100, each=5)


def _agree(seed: int, families: int, each: int) -> None:
    cases, expected = make_cases(seed, families, each)
    found = in_node(cases)
    assert differences(expected, found) == []
    assert sum(map(len, found)) == families * each


def test_compiled_family_survives_json() -> None:
    data = compiled(demo_tables())
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_serials_are_read_alike() -> None:
    rng = random.Random(4)
    texts = ["a-12 3.4", "[83]?k", "", "A[", "A[]", "[3#]", "12#4", " . "]
    texts += ["".join(rng.choice("A0[]8? -z3") for _ in range(rng.randint(1, 7))) for _ in range(200)]
    code = """
    const engine = require(process.argv[1]);
    const read = text => { try { return engine.readSerial(text); } catch (e) { return e.message; } };
    process.stdout.write(JSON.stringify(JSON.parse(require("fs").readFileSync(0, "utf8")).map(read)));
    """
    done = subprocess.run(["node", "-e", code, str(SCRIPT)], input=json.dumps(texts), capture_output=True, text=True)
    assert json.loads(done.stdout) == [_read(text) for text in texts]


def _read(text: str) -> list[str] | str:
    try:
        return ["".join(sorted(place)) for place in read_serial(text).places]
    except EvidenceError as error:
        return str(error)


def test_contradictions_are_said_alike() -> None:
    names = Names({"lamp": "Lamp"}, {("lamp", "stalk"): "swivel stalk"}, {"fourth": "The fourth pattern"})
    tables = demo_tables()
    evidence = Evidence((saw("bed", "square"), saw("lamp", "bracket"), saw("hook", "rocks"), saw("winder", "missing")))
    said = [say_misfit(misfit, names) for misfit in misfits(tables, evidence, 3)]
    said += [say_clash(tables, evidence, clash, names) for clash in clashes(tables, evidence)]
    code = """
    const engine = require(process.argv[1]);
    const [family, evidence] = JSON.parse(require("fs").readFileSync(0, "utf8"));
    const answer = engine.identify(family, evidence, {}, 4);
    const fourth = answer.top.filter(c => c.variant === "fourth")[0];
    const said = fourth.misfits.map(m => engine.sayMisfit(family, "fourth", m));
    process.stdout.write(JSON.stringify(said.concat(answer.clashes.map(c => engine.sayClash(family, evidence, c)))));
    """
    given = json.dumps([compiled(tables, names), evidence_data(evidence)])
    done = subprocess.run(["node", "-e", code, str(SCRIPT)], input=given, capture_output=True, text=True, check=True)
    assert any("swivel stalk or none" in sentence for sentence in said) and "together" in said[-1]
    assert json.loads(done.stdout) == said


def test_contradictions_of_many_looks_are_told_alike_and_shortly() -> None:
    """One sentence for all that does not go with one part; node says the same, on random machines too."""
    code = """
    const engine = require(process.argv[1]);
    const said = ([family, evidence]) => {
      const answer = engine.identify(family, evidence);
      return engine.sayClashes(family, evidence, answer.clashes);
    };
    process.stdout.write(JSON.stringify(JSON.parse(require("fs").readFileSync(0, "utf8")).map(said)));
    """
    cases, expected, clashing = [], [], 0
    for seed in range(60):
        rng = random.Random(seed)
        tables = build_tables(random_subject(rng, variants=4, carriers=6, facts=seed % 2 == 0))
        evidence = random_evidence(rng, tables.subject, 1.0)
        found = clashes(tables, evidence)
        said = say_clashes(tables, evidence, found, Names())
        assert len(said) <= len(found) and bool(said) == bool(found)
        clashing += len(said) < len(found)
        cases.append([compiled(tables), evidence_data(evidence)])
        expected.append(said)
    done = subprocess.run(["node", "-e", code, str(SCRIPT)], input=json.dumps(cases), capture_output=True, text=True)
    assert json.loads(done.stdout) == expected, done.stderr
    assert clashing > 5


def test_pairs_that_share_a_part_are_one_sentence() -> None:
    tables = demo_tables()
    looks = (saw("bed", "square"), saw("winder", "latch"), saw("hook", "rocks"))
    found = clashes(tables, Evidence(looks))
    assert all(len(each.carriers) == 2 for each in found) and len(found) > 1
    (said,) = say_clashes(tables, Evidence(looks), found, Names())
    assert said == "No pattern left the works with bed: square and any one of these: winder: latch; hook: rocks."


def test_script_refuses_unknown_names() -> None:
    code = """
    const engine = require(process.argv[1]);
    const family = JSON.parse(require("fs").readFileSync(0, "utf8"));
    const tried = [{looks: [{feature: "lamb", forms: ["stalk"]}]}, {looks: [{feature: "lamp", forms: ["stork"]}]},
      {markings: ["crest"]}, {measured: [{quantity: "girth", value: 1}]}];
    const message = e => { try { engine.identify(family, e); return "accepted"; } catch (x) { return x.message; } };
    process.stdout.write(JSON.stringify(tried.map(message)));
    """
    given = json.dumps(compiled(demo_tables()))
    done = subprocess.run(["node", "-e", code, str(SCRIPT)], input=given, capture_output=True, text=True, check=True)
    assert [m.split(" in ")[0] for m in json.loads(done.stdout)] == [
        "unknown feature 'lamb'",
        "lamp: unknown form 'stork'",
        "unknown marking 'crest'",
        "no variant has a value for 'girth'",
    ]
