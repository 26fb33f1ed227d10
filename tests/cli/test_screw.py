"""`handwheel screw`: its answers agree with the engine, and each mistake gets a sentence that says what is right."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from handwheel.cli.main import main
from handwheel.engineering.screws import Reading, identify
from handwheel.engineering.thread_series import all_threads

_SLOT = ("--diameter", "3.5", "--pitch", "0.6", "--slot-width")
DEMO = Path(__file__).parents[2] / "demo_content"


def test_json_agrees_with_the_engine(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["screw", "--diameter", "3.5", "--pitch", "0.635", "--into", "grey-iron", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    right = identify(Reading(0.0035, 0.00005, 0.000635, 0.00002), all_threads())
    for each, expected in zip(told["candidates"], right.candidates, strict=False):
        assert each["thread"] == expected.thread.name
        assert each["probability"] == pytest.approx(expected.probability, abs=1e-6)
        assert each["gives_way"]["permits"] is False
    assert len(told["candidates"]) >= 3
    assert told["in_no_series"] == pytest.approx(right.none, abs=1e-6)
    assert told["certain"] is False


def test_text_says_what_is_not_certain(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["screw", "--diameter", "9/64 in", "--tpi", "40", "--error", "0.02 mm", "--into", "aluminium"]) == 0
    text = capsys.readouterr().out
    assert "SM 9/64-40 (special inch, unverified)" in text
    assert "unverified" in text
    assert "beware of 4 BA" in text
    assert "after 0.8 to 3.1 mm" not in text.split("4 BA (BA)")[0]
    assert "Nothing here is certain" in text
    assert "in aluminium: " in text
    assert "100 %" not in text
    assert "safe" not in text


def test_slot_and_clamp(capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 240 MPa x 1.1 mm x (6.5 mm)^2 / 6 = 1.859 N m; 300 N of clamp on M4 with friction 0.16: 0.28 N m."""
    asked = ["--slot-width", "1.3", "--slot-length", "7", "--slot-depth", "1.1", "--clamp", "300 N"]
    assert main(["screw", "--diameter", "3.95", "--pitch", "0.7", *asked, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["slot"] == {"blade": "1.2x6.5", "blade_tested_n_m": 9.4, "slot_gives_way_n_m": 1.859}
    window = told["candidates"][0]["window"]
    assert window["first_gives_way"]["permits"] is False
    assert 0.25 < window["clamps_from_n_m"] < 0.35
    assert main(["screw", "--diameter", "3.95", "--pitch", "0.7", *asked]) == 0
    text = capsys.readouterr().out
    assert "Blade: 1.2x6.5 fits the slot; it is tested with 9.4 N m" in text
    assert "the slot gives way from 1.86 N m (16.5 in lbf), 133 N (29.9 lbf) at the rim of a 28 mm handle" in text
    assert "300 N (67.4 lbf) of clamp may take" in text


def test_the_same_screw_in_other_units(capsys: pytest.CaptureFixture[str]) -> None:
    answers = []
    for said in (["3.5", "--tpi", "40"], ["3.5 mm", "--pitch", "0.635"], ["0.0035 m", "--pitch", "40 tpi"]):
        assert main(["screw", "--diameter", *said, "--json"]) == 0
        answers.append(capsys.readouterr().out)
    assert answers[0] == answers[1] == answers[2]


def test_a_wider_error_leaves_more_open(capsys: pytest.CaptureFixture[str]) -> None:
    counts = []
    for error in ("0.02", "0.3"):
        main(["screw", "--diameter", "4.7", "--pitch", "0.8", "--error", error, "--pitch-error", "0.05", "--json"])
        counts.append(len(json.loads(capsys.readouterr().out)["candidates"]))
    assert counts[0] < counts[1]


def test_a_shop_brings_its_threads(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["screw", "--diameter", "4.1", "--pitch", "0.73", "--shop", str(DEMO)]) == 0
    assert "3 BA" in capsys.readouterr().out


def test_no_thread_comes_near(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["screw", "--diameter", "29", "--pitch", "0.6"]) == 0
    assert "No thread of any series" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (["--diameter=-3", "--pitch", "0.6"], "0.7 mm to 30 mm"),
        (["--diameter", "3.5 kg", "--pitch", "0.6"], "is a mass, not a length"),
        (["--diameter", "3.5 N", "--pitch", "0.6"], "is a force, not a length"),
        (["--diameter", "nan", "--pitch", "0.6"], "does not start with a number"),
        (["--diameter", "1e400", "--pitch", "0.6"], "larger than any quantity"),
        (["--diameter", "", "--pitch", "0.6"], "write it as '5 mm'"),
        (["--diameter", "3.5", "--pitch=-0.6"], "0.15 mm to 4 mm"),
        (["--diameter", "3.5", "--pitch", "0"], "0.15 mm to 4 mm"),
        (["--diameter", "3.5", "--pitch", "0.6 degC"], "is a temperature, not a length"),
        (["--diameter", "3.5", "--pitch", "0.6 smoots"], "unknown unit 'smoots'"),
        (["--diameter", "29", "--pitch", "4.1"], "pitch 4.1 mm is outside"),
        (["--diameter", "3.5", "--tpi", "40.5"], "write it as '40'"),
        (["--diameter", "3.5", "--tpi=-40"], "write it as '40'"),
        (["--diameter", "3.5 N m", "--pitch", "0.6"], "not a length"),
        (["--diameter", "3,5", "--pitch", "0.6"], "decimal with a point"),
        (["--diameter", "thick", "--pitch", "0.6"], "does not start with a number"),
        (["--diameter", "3.5 mmm", "--pitch", "0.6"], "did you mean 'mm'?"),
        (["--diameter", "3.5", "--pitch", "40"], "write --tpi 40"),
        (["--diameter", "3.5", "--tpi", "0"], "write it as '40'"),
        (["--diameter", "3.5", "--tpi", "5"], "pitch 5.08 mm is outside"),
        (["--diameter", "3.5", "--pitch", "0.6", "--error", "0"], "error of the diameter"),
        (["--diameter", "3.5", "--pitch", "0.6", "--pitch-error", "2"], "error of the pitch"),
        (["--diameter", "3.5", "--pitch", "0.6", "--into", "cheese"], "grey iron, aluminium"),
        (["--diameter", "3.5", "--pitch", "0.6", "--slot-width", "1.1"], "takes both --slot-width and --slot-length"),
        (["--diameter", "3.5", "--pitch", "0.6", "--slot-depth", "1"], "takes both --slot-width and --slot-length"),
        ([*_SLOT, "-1", "--slot-length", "6"], "0.2 mm to 4 mm"),
        ([*_SLOT, "1.1", "--slot-length", "6 kg"], "is a mass, not a length"),
        ([*_SLOT, "1.1", "--slot-length", "6", "--slot-depth", "9"], "0.1 mm to 6 mm"),
        ([*_SLOT, "0.3", "--slot-length", "6"], "no blade of ISO 2380-1 fits"),
        (["--diameter", "3.5", "--pitch", "0.6", "--clamp", "3 N m"], "is a torque, not a force; write it as '150 N'"),
        (["--diameter", "3.5", "--pitch", "0.6", "--clamp", "300"], "has no unit"),
        (["--diameter", "3.5", "--pitch", "0.6", "--clamp=-300 N"], "0 N to"),
    ],
)
def test_bad_input(said: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["screw", *said]) == 2
    told = capsys.readouterr()
    assert words in told.err
    assert told.out == ""
