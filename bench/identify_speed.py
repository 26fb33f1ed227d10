"""Milliseconds of processor time an answer takes, the script under node: 500 variants by 60 features, made up.

Run: `python bench/identify_speed.py`. Goal: under 16 ms, so that the page answers within a frame.
"""

from __future__ import annotations

import json
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from handwheel.identify.build import build_tables
from handwheel.identify.compile import compiled, evidence_data
from handwheel.identify.evidence import Evidence
from handwheel.identify.made_up import Size, made_up
from handwheel.identify.simulate import Treatment, look_at, put_together, read_off
from handwheel.machines.family import FamilyIndex

HERE = Path(__file__).parent
SCRIPT = HERE.parent / "generator/handwheel/pages/assets/identify.js"
GOAL = 16.0
ORDINARY = Treatment("ordinary", misread=1)


def case() -> dict[str, object]:
    """One family, and machines looked at from not at all to all over."""
    rng = random.Random(1)
    subject = made_up(rng, Size(500, 60))
    tables, index = build_tables(subject), FamilyIndex(subject.family)
    evidence = []
    for number in range(13):
        machine = put_together(rng, subject, rng.choice(tables.variants), ORDINARY)
        features = rng.sample(subject.family.features, number * 5)
        looks = tuple(look_at(rng, index, machine, feature.id, ORDINARY) for feature in features)
        serial = read_off(rng, machine, ORDINARY) if number % 2 else None
        evidence.append(evidence_data(Evidence(looks, serial=serial)))
    return {"family": compiled(tables), "evidence": evidence}


def main() -> int:
    """Print the figures; fail where the goal is missed."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "case.json"
        path.write_text(json.dumps(case()))
        command = ["node", str(HERE / "identify_speed.js"), str(path), str(SCRIPT)]
        found = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout)
        size = path.stat().st_size / 1000
    print(f"{found['answers']} answers, 500 variants x 60 features, {size:.0f} kB of data")
    print(f"median {found['median']:.1f} ms, worst {found['worst']:.1f} ms; goal {GOAL:.0f} ms")
    return int(found["worst"] >= GOAL)


if __name__ == "__main__":
    sys.exit(main())
