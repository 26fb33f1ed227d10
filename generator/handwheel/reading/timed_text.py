"""Timed text of a recording, WebVTT or SRT -> what is said when.

WebVTT is a recommendation track document of the W3C ("WebVTT: The Web Video Text Tracks Format"); SRT has no standard.
The library that parses passes over what it cannot read, so what it gave is counted against the file.
"""

from __future__ import annotations

import html
import re
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

import webvtt
from webvtt.errors import MalformedCaptionError, MalformedFileError

from handwheel.records.errors import HandwheelError

MOST = 10_000_000
"""Bytes. A day of talk is far below it."""
_TIMES = re.compile(r"^\s*(\S+)\s+-->\s+(\S+)")
_ALMOST = re.compile(r"^\s*\d+:[\d:]+[.,]\d+\s*[-–—>][-–—>\s]*\d+:[\d:.,]+")
"""Two times with some other mark between them; a parser would take them for words."""
_CLOCK = re.compile(r"(?:(\d{2,}):)?([0-5]\d):([0-5]\d)[.,]\d{3}")


@dataclass(frozen=True)
class Cue:
    """One thing said."""

    start: int
    """Whole seconds from the start of the recording, rounded down."""
    end: int
    """Rounded up, so that a stretch made of cues holds all of each."""
    text: str
    voice: str = ""
    """Who says it, where the file tells."""


def read_cues(path: Path) -> tuple[Cue, ...]:
    """What is said, in the order of time.

    Raises:
        HandwheelError: the file cannot be read or is not timed text; the line where it goes wrong is named.
    """
    text = _text(path)
    _refuse_bad_times(path.name, text)
    form = "vtt" if text.startswith("WEBVTT") else "srt"
    if form == "srt" and path.suffix.lower() == ".vtt":
        raise HandwheelError(f"{path.name}:1: WebVTT begins with the word WEBVTT")
    try:
        captions = webvtt.from_buffer(StringIO(text), format=form).captions
    except (MalformedFileError, MalformedCaptionError) as error:
        right = "WebVTT, which begins with the word WEBVTT, or SRT"
        raise HandwheelError(f"{path.name}: not timed text; right would be {right}") from error
    times = sum(1 for line in text.split("\n") if _TIMES.match(line))
    if len(captions) != times or not all(_plain(each.text) for each in captions):
        raise HandwheelError(f"{path.name}: some of its times stand beside no text; a blank line parts two cues")
    if not captions:
        raise HandwheelError(f"{path.name}: nothing is said in it")
    cues = (Cue(_down(each.start), _up(each.end), _plain(each.text), each.voice or "") for each in captions)
    return tuple(sorted(cues, key=lambda cue: (cue.start, cue.end)))


def clock(seconds: int) -> str:
    """Minutes and seconds, with hours where there are any.

    >>> clock(75), clock(3_725)
    ('01:15', '1:02:05')
    """
    hours, rest = divmod(seconds, 3600)
    short = f"{rest // 60:02}:{rest % 60:02}"
    return f"{hours}:{short}" if hours else short


def seconds_of(text: str) -> int:
    """Seconds of a time as `clock` writes it.

    >>> seconds_of("01:15"), seconds_of("1:02:05"), seconds_of("")
    (75, 3725, 0)
    """
    total = 0
    for part in text.split(":") if text else ():
        total = total * 60 + int(part)
    return total


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > MOST:
            raise HandwheelError(f"{path.name}: more than {MOST // 1_000_000} MB; timed text is smaller")
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise HandwheelError(f"{path.name}: not UTF-8 text; save it as UTF-8") from error
    except OSError as error:
        raise HandwheelError(f"{path.name}: cannot be read: {(error.strerror or 'no reason given').lower()}") from error
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _refuse_bad_times(name: str, text: str) -> None:
    for number, line in enumerate(text.split("\n"), 1):
        if "-->" not in line and not _ALMOST.match(line):
            continue
        found = _TIMES.match(line)
        ends = [_CLOCK.fullmatch(each) for each in found.groups()] if found else [None]
        if not all(ends):
            right = "00:12:10.000 --> 00:12:14.500"
            raise HandwheelError(f"{name}:{number}: '{line.strip()[:60]}' is no span of time; right would be {right}")
        start, end = (_millis(each.string) for each in ends if each)
        if end <= start:
            raise HandwheelError(f"{name}:{number}: ends before it begins")


def _millis(text: str) -> int:
    whole, _, part = text.replace(",", ".").partition(".")
    return seconds_of(whole) * 1000 + int(part)


def _down(stamp: str) -> int:
    return _millis(stamp) // 1000


def _up(stamp: str) -> int:
    return -(-_millis(stamp) // 1000)


def _plain(text: str) -> str:
    words = html.unescape(re.sub(r"<[^>]*>", "", text)).split()
    return "".join(letter for letter in " ".join(words) if letter.isprintable())
