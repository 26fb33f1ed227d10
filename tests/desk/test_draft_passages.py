"""Draft passages of a recording's timed text."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from handwheel.cli.main import main
from handwheel.desk.draft_passages import LONGEST, Guesser, as_yaml, drafts
from handwheel.reading.load import load
from handwheel.reading.shipped import folders_of
from handwheel.reading.timed_text import Cue, read_cues
from handwheel.records.library import Library

DEMO = Path(__file__).parents[2] / "demo_content"


@pytest.fixture(scope="module")
def demo() -> Library:
    return load(folders_of(DEMO))


def test_a_stretch_ends_at_a_silence_and_at_the_longest(demo: Library) -> None:
    cues = (Cue(0, 4, "One. Two."), Cue(6, 9, "three"), Cue(30, 33, "four"))
    found = drafts(demo, cues, None)
    assert [(each.start, each.end, each.says) for each in found] == [(0, 9, "One."), (30, 33, "four")]
    long = tuple(Cue(at, at + 10, "word") for at in range(0, 600, 10))
    assert [each.start for each in drafts(demo, long, None)] == [0, 240, 480]
    assert LONGEST == 240


def test_what_a_passage_covers_is_left_out(demo: Library) -> None:
    recording = demo.of("recordings")["class-3"]
    cues = read_cues(DEMO / recording.script)
    first = drafts(demo, cues, recording)
    assert 0 < len(first) < len(drafts(demo, cues, None))
    assert not [each for each in first if 250 <= each.start < 335]


def test_a_step_is_guessed_from_the_words_that_few_steps_have(demo: Library) -> None:
    guesses = Guesser(demo).guesses("Look at this: the lock screw comes first, then we turn the stop knob off.")
    assert guesses[0][0] == "wheel-off/knob-off"
    assert {"lock", "knob"} & set(guesses[0][1]) or {"stop", "knob"} <= set(guesses[0][1])
    assert Guesser(demo).guesses("tea") == ()


@given(st.lists(st.tuples(st.integers(0, 500), st.text(min_size=1, max_size=40)), max_size=8))
def test_drafts_are_yaml_whatever_was_said(said: list[tuple[int, str]]) -> None:
    words = [(start, " ".join(text.split())) for start, text in said if text.split() and text.isprintable()]
    cues = tuple(Cue(start, start + 2, text) for start, text in sorted(words))
    made = drafts(Library(), cues, None)
    read = yaml.safe_load("\n".join(as_yaml(made))) or []
    assert [each["says"] for each in read] == [each.says for each in made]


def test_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    script = str(DEMO / "recordings" / "class-4.vtt")
    assert main(["passages", script, "--shop", str(DEMO), "--recording", "class-4"]) == 0
    out = capsys.readouterr().out
    assert all(set(each) == {"from", "to", "says"} for each in yaml.safe_load(out))
    assert main(["passages", script, "--shop", str(DEMO), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)[0]["start"] == "00:15"
    assert main(["passages", script, "--shop", str(DEMO), "--recording", "class-44"]) == 2
    assert "did you mean 'class-4'" in capsys.readouterr().err
    assert main(["passages", str(DEMO / "notes.yaml"), "--shop", str(DEMO)]) == 2
    assert "not timed text" in capsys.readouterr().err
