"""`handwheel stitch`: worked by hand beside it, and each mistake gets a sentence that says what is right."""

from __future__ import annotations

import json

import pytest

from handwheel.cli.main import main


def test_one_stretch(capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 50/21 = 2.381 mm; 1.96 x 0.5/sqrt(3)/21 = 0.027 mm; 25.4/2.381 = 10.67 (JCGM 100:2008, 4.3.7)."""
    assert main(["stitch", "--over", "50 mm", "--count", "21"]) == 0
    text = capsys.readouterr().out
    assert "2.381 mm a stitch, give or take 0.027 mm; 10.67 stitches to the inch (10.55 to 10.79)" in text
    assert "One stretch shows no spread" in text


def test_units_agree(capsys: pytest.CaptureFixture[str]) -> None:
    answers = []
    for over in ("50.8", "50.8 mm", "2 in", "5.08 cm"):
        assert main(["stitch", "--over", over, "--count", "20", "--json"]) == 0
        answers.append(capsys.readouterr().out)
    assert len(set(answers)) == 1
    assert json.loads(answers[0])["settings"][0]["per_inch"] == pytest.approx(10.0, abs=1e-4)


def test_marked_and_both_ways(capsys: pytest.CaptureFixture[str]) -> None:
    said = ["--over", "50", "--count", "20", "--at", "10", "--back-over", "44", "--back-count", "20", "--back-at", "10"]
    assert main(["stitch", *said, "--marked", "per-inch"]) == 0
    text = capsys.readouterr().out
    assert "At 10, forward: sews 2.50 mm, marked 2.54 mm: -0.04 mm, known to 0.03 mm; differs." in text
    assert "Forward less reverse at 10: +0.300 mm, known to 0.040 mm; differs." in text


def test_unmarked_scale(capsys: pytest.CaptureFixture[str]) -> None:
    said = [part for n in (1, 2, 3) for part in ("--over", str(20 * n), "--count", "20", "--at", str(n))]
    assert main(["stitch", *said, "--want", "2.5"]) == 0
    text = capsys.readouterr().out
    assert "from 1 to 3: +1.000 mm a step" in text
    assert "For 2.5 mm set it to 2.50" in text


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (["--over=-50", "--count", "20"], "5 mm"),
        (["--over", "50 N", "--count", "20"], "is a force, not a length; write it as '5 mm'"),
        (["--over", "50 N m", "--count", "20"], "is a torque, not a length"),
        (["--over", "50 degC", "--count", "20"], "is a temperature, not a length"),
        (["--over", "50 smoots", "--count", "20"], "unknown unit 'smoots'"),
        (["--over", "1e999", "--count", "20"], "larger than any quantity"),
        (["--over", "50", "--count=-20"], "too few to measure by"),
        (["--over", "50", "--count", "20.5"], "no count of whole stitches; write it as '20'"),
        (["--over", "50", "--count", "many"], "no count of whole stitches; write it as '20'"),
        (["--over", "50", "--count", "20", "--at", "nan"], "-1000 to 1000, as '2.5'"),
        (["--over", "50", "--count", "20", "--at", "1e9"], "-1000 to 1000, as '2.5'"),
        (["--over", "50", "--count", "20", "--at", "low"], "write the number on the scale"),
        (["--over", "50", "--count", "20", "--at=-3", "--marked", "mm"], "0.1 mm to 12.7 mm"),
        (["--over", "50", "--count", "20", "--at", "2", "--want", "250"], "0.1 mm to 12.7 mm"),
        (["--over", "50", "--count", "20", "--at", "2", "--want", "2.5 kg"], "is a mass, not a length"),
        (["--over", "50", "--count", "20", "--error=-1"], "0 mm to 5 mm"),
        (["--over", "50", "--count", "20", "--back-over", "40"], "give each once a stretch"),
        (["--over", "50 kg", "--count", "20"], "is a mass, not a length"),
        (["--over", "50", "--count", "3"], "count at least 5"),
        (["--over", "50", "--count", "20", "--count", "20"], "give each once a stretch"),
        (["--over", "50", "--count", "20", "--error", "9"], "reading error"),
        (["--over", "500", "--count", "5"], "stitch length of the sample"),
        (["--over", "50", "--count", "20", "--at", "1", "--marked", "per-inch"], "stitches to the inch"),
    ],
)
def test_bad_input(said: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["stitch", *said]) == 2
    shown = capsys.readouterr()
    assert words in shown.err
    assert shown.out == ""
