"""Timed text, held against the examples of the W3C's recommendation track document on WebVTT and made-up SRT."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.reading.timed_text import Cue, clock, read_cues, seconds_of
from handwheel.records.errors import HandwheelError

# "WebVTT: The Web Video Text Tracks Format", section 1.1, "A simple caption file": hours may be left out, a cue may
# have a name, a voice and settings, notes are passed over. Words are ours.
VTT = """WEBVTT

NOTE
Not said.

00:11.000 --> 00:13.000 align:start
<v Roger B.>It is <i>left-hand</i> &amp; tight

second
01:00:13.200 --> 01:00:16.100
two
lines
"""


def written(folder: Path, text: str, name: str = "a.vtt") -> Path:
    path = folder / name
    path.write_bytes(text.encode())
    return path


def test_webvtt(tmp_path: Path) -> None:
    assert read_cues(written(tmp_path, VTT)) == (
        Cue(11, 13, "It is left-hand & tight", "Roger B."),
        Cue(3613, 3617, "two lines"),
    )


def test_srt_with_the_line_ends_of_another_system(tmp_path: Path) -> None:
    text = "\ufeff1\n00:00:01,000 --> 00:00:04,500\nThe hood\n\n2\n00:00:05,000 --> 00:00:06,000\nLeads\n"
    found = read_cues(written(tmp_path, text.replace("\n", "\r\n"), "a.srt"))
    assert found == (Cue(1, 5, "The hood"), Cue(5, 6, "Leads"))


def test_cues_come_in_the_order_of_time(tmp_path: Path) -> None:
    text = "WEBVTT\n\n00:20.000 --> 00:21.000\nlate\n\n00:01.000 --> 00:02.000\nearly\n"
    assert [cue.text for cue in read_cues(written(tmp_path, text))] == ["early", "late"]


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("a.vtt", "hello\n", "a.vtt:1: WebVTT begins"),
        ("a.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\na\n\n00:66.000 -> 00:69.000\nb\n", "a.vtt:6: '00:66.000 ->"),
        ("a.vtt", "WEBVTT\n\n00:01.000 --> 00:02.000\na\n\n00:06.000 – 00:09.000\nb\n", "is no span of time"),
        ("a.srt", "hello\n", "not timed text"),
        ("a.vtt", "WEBVTT\n", "nothing is said"),
        ("a.vtt", "WEBVTT\n\n00:01.000 --> soon\nx\n", "a.vtt:3: '00:01.000 --> soon' is no span"),
        ("a.vtt", "WEBVTT\n\n00:04.000 --> 00:03.000\nx\n", "a.vtt:3: ends before it begins"),
        ("a.vtt", "WEBVTT\n\n00:61.000 --> 00:63.000\nx\n", "is no span of time"),
        ("a.vtt", "WEBVTT\n\n00:01.000 --> 00:03.000\n\n00:04.000 --> 00:05.000\nx\n", "stand beside no text"),
    ],
)
def test_what_is_no_timed_text_is_told(tmp_path: Path, name: str, text: str, says: str) -> None:
    with pytest.raises(HandwheelError) as caught:
        read_cues(written(tmp_path, text, name))
    assert says in str(caught.value)


def test_other_bytes_are_told(tmp_path: Path) -> None:
    (tmp_path / "a.vtt").write_bytes(b"WEBVTT\n\xff")
    with pytest.raises(HandwheelError, match="not UTF-8"):
        read_cues(tmp_path / "a.vtt")
    with pytest.raises(HandwheelError, match="cannot be read"):
        read_cues(tmp_path / "none.vtt")


@given(st.binary(max_size=200) | st.text(max_size=200).map(lambda text: ("WEBVTT\n\n" + text).encode()))
def test_whatever_is_in_the_file_no_other_error_comes(tmp_path_factory: pytest.TempPathFactory, content: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any.vtt"
    path.write_bytes(content)
    try:
        cues = read_cues(path)
    except HandwheelError as error:
        assert str(error).startswith("any.vtt")
    else:
        assert cues and all(cue.start < cue.end for cue in cues)


@given(st.integers(0, 400_000))
def test_a_time_is_read_as_it_was_written(seconds: int) -> None:
    assert seconds_of(clock(seconds)) == seconds
