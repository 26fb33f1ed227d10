"""`handwheel screw`: its answers agree with the engine, and each mistake gets a sentence that says what is right."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from handwheel.cli.main import main
from handwheel.engineering.screws import Reading, identify
from handwheel.engineering.thread_series import all_threads

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
    assert "SM 9/64-40 (special inch)" in text
    assert "unverified" in text
    assert "beware of 4 BA" in text
    assert "after 0.8 to 3.1 mm" not in text.split("4 BA (BA)")[0]
    assert "Nothing here is certain" in text
    assert "in aluminium: " in text
    assert "100 %" not in text
    assert "safe" not in text


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
    ],
)
def test_bad_input(said: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["screw", *said]) == 2
    told = capsys.readouterr()
    assert words in told.err
    assert told.out == ""
