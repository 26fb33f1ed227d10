"""The stitch script under node against the engine here, and the page that stands without it."""

from __future__ import annotations

import json
import math
import random
import subprocess
from pathlib import Path
from typing import Any

import pytest

from handwheel.engineering.stitch_trials import Sewn, settings_of, told
from handwheel.engineering.stitches import Marking, Stretch
from handwheel.pages.here import Desk
from handwheel.pages.stitch_page import stitch_asset, stitch_data, stitch_page
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "generator/handwheel/pages/assets/stitch.js"
MARKS = {None: None, "inch": Marking.PER_INCH, "mm": Marking.MILLIMETRES}
RUN = """
const engine = require(process.argv[1]);
const asked = JSON.parse(require("fs").readFileSync(0, "utf8"));
process.stdout.write(JSON.stringify(asked.cases.map(c => ({
  settings: engine.settings(asked.data, c.sewn, c.error),
  told: engine.told(asked.data, c.sewn, c.marking, c.error, c.wanted)}))));
"""
Case = tuple[list[Sewn], str | None, float, float | None]


def cases(count: int) -> list[Case]:
    rng = random.Random(7)
    found: list[Case] = []
    for _ in range(count):
        places: list[float | None] = rng.choice([[None], [2.0], [1.0, 2.0], [1.0, 2.0, 3.0, 4.5]])
        sewn = [
            Sewn(Stretch(stitches * (place or 2.0) * rng.uniform(0.95, 1.05) * 1e-3, stitches), place, way)
            for place in places
            for way in rng.choice([[True], [True, False]])
            for stitches in rng.choices(range(15, 40), k=rng.choice([1, 2, 3, 5]))
        ]
        inches: list[str | None] = ["inch"] if places[0] == 2.0 else []
        marking = rng.choice([None, "mm", *inches])
        wanted = 0.0023 if len(places) > 3 and rng.random() < 0.8 else None
        found.append((sewn, marking, rng.choice([0.0, 1e-4, 5e-4]), wanted))
    return found


def in_script(told_cases: list[Case]) -> list[dict[str, Any]]:
    asked = [
        {
            "sewn": [
                {"length": s.stretch.length, "count": s.stretch.stitches, "position": s.position, "forward": s.forward}
                for s in sewn
            ],
            "marking": marking, "error": error, "wanted": wanted,
        }
        for sewn, marking, error, wanted in told_cases
    ]  # fmt: skip
    data = json.dumps({"data": stitch_data(), "cases": asked})
    done = subprocess.run(["node", "-e", RUN, str(SCRIPT)], input=data, capture_output=True, text=True, check=True)
    answers: list[dict[str, Any]] = json.loads(done.stdout)
    return answers


def test_script_agrees_with_the_engine() -> None:
    asked = cases(250)
    scales = 0
    for (sewn, marking, error, wanted), theirs in zip(asked, in_script(asked), strict=True):
        for ours, their in zip(settings_of(sewn, error), theirs["settings"], strict=True):
            assert their["value"] == pytest.approx(ours.length.value, rel=1e-12)
            assert math.isclose(their["expanded"], ours.length.expanded(), rel_tol=1e-9, abs_tol=1e-15)
        lines = list(told(sewn, MARKS[marking], error, wanted))
        assert theirs["told"] == lines
        scales += any(line.startswith("For 2.3 mm") for line in lines)
    assert scales > 10


def test_page_stands_without_a_script() -> None:
    page = stitch_page(Desk(load(folders_of(ROOT / "demo_content"))))
    assert "2.540 mm" in page.html
    assert '<form id="hw-stitch" class="hw-ask-screw" hidden>' in page.html
    assert "safe" not in page.html
    assert stitch_asset().content.startswith(b"self.handwheelStitchData=")
