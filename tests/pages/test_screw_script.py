"""The screw script under node against the engine here, and the page that stands without it."""

from __future__ import annotations

import dataclasses
import json
import random
import subprocess
from pathlib import Path

import pytest

from handwheel.engineering.blades import NoBlade
from handwheel.engineering.screws import Reading, identify
from handwheel.engineering.thread_series import all_threads
from handwheel.evidence.screw_drive import driven, ends, ends_words
from handwheel.evidence.screw_table import threads_for
from handwheel.pages.here import Desk
from handwheel.pages.screw_page import screw_asset, screw_data, screw_page
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "generator/handwheel/pages/assets/screw.js"
RUN = """
const engine = require(process.argv[1]);
const told = JSON.parse(require("fs").readFileSync(0, "utf8"));
process.stdout.write(JSON.stringify(told.readings.map(r => engine.identify(told.data, r))));
"""


def readings(count: int) -> list[Reading]:
    rng = random.Random(4)
    found = []
    for _ in range(count):
        thread = rng.choice(all_threads())
        errors = rng.choice([1e-5, 5e-5, 3e-4]), rng.choice([5e-6, 2e-5, 1e-4])
        diameter = thread.diameter - rng.uniform(-1e-4, 3e-4)
        found.append(Reading(diameter, errors[0], thread.pitch + rng.gauss(0, 1) * errors[1] / 2, errors[1]))
    return found


def test_script_agrees_with_the_engine() -> None:
    library = load(folders_of(ROOT / "demo_content"))
    cases = [each for each in readings(320) if each.pitch > 0.15e-3]
    told = [
        {"diameter": r.diameter, "diameterError": r.diameter_error, "pitch": r.pitch, "pitchError": r.pitch_error}
        for r in cases
    ]
    data = json.dumps({"data": screw_data(library), "readings": told})
    done = subprocess.run(["node", "-e", RUN, str(SCRIPT)], input=data, capture_output=True, text=True, check=True)
    for reading, found in zip(cases, json.loads(done.stdout), strict=True):
        right = identify(reading, all_threads())
        ours = {each.thread.name: each.probability for each in right.candidates}
        theirs = {each["name"]: each["probability"] for each in found["candidates"]}
        for name in ours.keys() | theirs.keys():
            assert abs(ours.get(name, 1e-6) - theirs.get(name, 1e-6)) < 1e-9
        assert abs(right.none - found["none"]) < 1e-9
        assert [c["name"] for c in found["candidates"]][:1] == [c.thread.name for c in right.candidates][:1]


DRIVE = """
const engine = require(process.argv[1]);
const told = JSON.parse(require("fs").readFileSync(0, "utf8"));
process.stdout.write(JSON.stringify(told.slots.map(slot => {
  const drive = engine.driven(told.data, slot);
  return told.data.threads.filter((_, n) => n % 9 == 0).map(thread => {
    const found = engine.ends(told.data, thread, "aluminium", drive, 250);
    return [drive && drive.blade.name, drive && drive.bears, found.low, found.high, found.what];
  });
})));
"""


def test_slot_blade_and_window_agree_with_the_engine() -> None:
    """Random slots: the same blade, what the slot bears, both ends of the window and the same sentence."""
    rng = random.Random(7)
    library = load(folders_of(ROOT / "demo_content"))
    slots = [(rng.uniform(3e-4, 2.8e-3), rng.uniform(1.5e-3, 1.5e-2), rng.uniform(1e-4, 3e-3)) for _ in range(60)]
    told = {
        "data": screw_data(library),
        "slots": [dict(zip(("width", "length", "depth"), s, strict=True)) for s in slots],
    }
    done = subprocess.run(
        ["node", "-e", DRIVE, str(SCRIPT)], input=json.dumps(told), capture_output=True, text=True, check=True
    )
    fitted = 0
    for (width, length, depth), rows in zip(slots, json.loads(done.stdout), strict=True):
        try:
            right = driven(width, length, depth)
        except NoBlade:
            assert all(row[0] is None for row in rows)
            continue
        fitted += 1
        for row, each in zip(rows, threads_for(library)[::9], strict=True):
            expected = ends(each, "aluminium", right, 250.0)
            assert row[0] == right.blade.name
            assert row[1:4] == pytest.approx([right.bears, expected.low, expected.high.torque], rel=1e-12)
            assert row[4] == ends_words(dataclasses.replace(expected, low=None), None)
    assert 20 < fitted < 60


def test_page_stands_without_a_script() -> None:
    library = load(folders_of(ROOT / "demo_content"))
    page = screw_page(Desk(library))
    assert all(each.name in page.html for each in all_threads())
    assert '<form id="hw-screw" class="hw-ask-screw hw-ask-pairs" hidden>' in page.html
    assert "safe" not in page.html
    assert screw_asset(library).content.startswith(b"self.handwheelScrewData=")
