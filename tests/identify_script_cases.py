"""Cases on which the script in the browser and the engine here must give the same answer."""

from __future__ import annotations

import json
import random
import subprocess
from pathlib import Path
from typing import Any

from handwheel.identify.answer import identify
from handwheel.identify.build import build_tables
from handwheel.identify.compile import answer_data, compiled, evidence_data
from handwheel.identify.facts import Subject
from handwheel.identify.made_up import Size, made_up
from identify_cases import demo_subject, random_evidence, random_subject

SCRIPT = Path(__file__).parents[1] / "generator/handwheel/pages/assets/identify.js"

RUN = """
const engine = require(process.argv[1]);
const cases = JSON.parse(require("fs").readFileSync(0, "utf8"));
const answers = cases.map(c => c.evidence.map(e => engine.identify(c.family, e)));
process.stdout.write(JSON.stringify(answers));
"""


def subject_for(rng: random.Random) -> Subject:
    kind = rng.random()
    if kind < 0.1:
        return demo_subject()
    if kind < 0.25:
        return made_up(rng, Size(variants=rng.randint(2, 15), features=rng.randint(4, 16)))
    return random_subject(rng, variants=rng.randint(1, 7), carriers=rng.randint(1, 5), facts=rng.random() < 0.7)


def make_cases(seed: int, families: int, each: int) -> tuple[list[Any], list[Any]]:
    """Families with evidence for the script, and the answers of the engine here."""
    cases, answers = [], []
    for number in range(families):
        rng = random.Random(f"{seed}/{number}")
        tables = build_tables(subject_for(rng))
        shares = [rng.choice([0.0, 0.3, 0.6, 1.0]) for _ in range(each)]
        evidence = [random_evidence(rng, tables.subject, share) for share in shares]
        cases.append({"family": compiled(tables), "evidence": [evidence_data(e) for e in evidence]})
        answers.append([answer_data(identify(tables, e)) for e in evidence])
    return cases, answers


def in_node(cases: list[Any]) -> list[Any]:
    """What the script answers under node."""
    done = subprocess.run(["node", "-e", RUN, str(SCRIPT)], input=json.dumps(cases), capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    found: list[Any] = json.loads(done.stdout)
    return found


def differences(expected: Any, found: Any, where: str = "") -> list[str]:
    """Places at which two answers differ; numbers may by 1e-9."""
    if isinstance(expected, dict):
        if not isinstance(found, dict) or expected.keys() != found.keys():
            return [f"{where}: keys {sorted(expected)} / {sorted(found)}"]
        return [d for key in expected for d in differences(expected[key], found[key], f"{where}.{key}")]
    if isinstance(expected, list):
        if not isinstance(found, list) or len(expected) != len(found):
            return [f"{where}: {expected} / {found}"]
        pairs = zip(expected, found, strict=True)
        return [d for i, (a, b) in enumerate(pairs) for d in differences(a, b, f"{where}[{i}]")]
    if isinstance(expected, float) and isinstance(found, int | float):
        return [] if abs(expected - found) <= 1e-9 else [f"{where}: {expected!r} / {found!r}"]
    return [] if expected == found and type(expected) is type(found) else [f"{where}: {expected!r} / {found!r}"]
