"""Timed text of a recording -> draft passages for the writer to work on.

A draft is a stretch between two silences, with the first words said in it, and with steps whose words it shares. Which
step a stretch really shows, and for which machines it holds, only a person who was there can say.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from handwheel.desk.writing import flow
from handwheel.procedures.noted import steps_by_id, words_of
from handwheel.reading.timed_text import Cue, clock, seconds_of
from handwheel.records.library import Library
from handwheel.records.work_records import Recording

LONGEST = 240
"""Seconds after which a stretch is ended at the next cue, silence or not."""
SILENCE = 6
"""Seconds without a word that end a stretch."""
GUESSES = 3
_OF_ORDER = frozenset(("after", "again", "before", "first", "last", "next", "now", "then"))
_TELLING = math.log(12)
"""A word that more than one step in twelve has (the, and, hand) tells nothing."""
_WORDS = re.compile(r"[^\W\d_]{3,}")


@dataclass(frozen=True)
class Draft:
    """A stretch, and what it may show."""

    start: int
    end: int
    """Seconds."""
    says: str
    perhaps: tuple[tuple[str, tuple[str, ...]], ...]
    """Steps whose words it shares, the likeliest first, with these words."""


def drafts(library: Library, cues: tuple[Cue, ...], recording: Recording | None, silence: int = SILENCE) -> list[Draft]:
    """Drafts of all stretches that no passage of the recording covers yet."""
    covered = [(seconds_of(each.start), seconds_of(each.end)) for each in recording.passages] if recording else []
    open_cues = [cue for cue in cues if not any(start <= cue.start < end for start, end in covered)]
    guesser = Guesser(library)
    return [_draft(guesser, stretch) for stretch in _stretches(open_cues, silence)]


def as_yaml(drafts: list[Draft]) -> Iterator[str]:
    """Lines to be put under `passages:`; what is only guessed stands behind `#`."""
    for draft in drafts:
        yield f"- {flow({'from': clock(draft.start), 'to': clock(draft.end), 'says': draft.says})}"
        for step, words in draft.perhaps:
            yield f"  # perhaps shows {step} (both say {', '.join(words)})"


def _stretches(cues: list[Cue], silence: int) -> Iterator[list[Cue]]:
    held: list[Cue] = []
    for cue in cues:
        if held and (cue.start - held[-1].end >= silence or cue.start - held[0].start >= LONGEST):
            yield held
            held = []
        held.append(cue)
    if held:
        yield held


def _draft(guesser: Guesser, cues: list[Cue]) -> Draft:
    end = max(cue.end for cue in cues)
    return Draft(cues[0].start, end, _first_sentence(cues), guesser.guesses(" ".join(cue.text for cue in cues)))


def _first_sentence(cues: list[Cue]) -> str:
    """The first sentence said, ended at twenty words where it has no end."""
    text = " ".join(cue.text for cue in cues)
    sentence = re.split(r"(?<=[.!?])\s", text, maxsplit=1)[0]
    words = sentence.split()
    return sentence if len(words) <= 20 else " ".join(words[:20]) + " ..."


class Guesser:
    """Steps that share words with a text; a word that few steps have weighs more."""

    def __init__(self, library: Library) -> None:
        self._words = {name: _stems(words_of(step)) for name, step in steps_by_id(library).items()}
        weights = _weights(self._words)
        self._weight = {stem: weight for stem, weight in weights.items() if weight >= _TELLING}

    def guesses(self, text: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """The likeliest steps; none where fewer than two words are shared."""
        said = _stems(text).keys() & self._weight.keys()
        found = []
        for step, words in self._words.items():
            shared = sorted(said & words.keys(), key=lambda each: (-self._weight[each], each))
            if len(shared) >= 2:
                weight = sum(self._weight[each] for each in shared) / math.sqrt(len(words))
                found.append((-weight, step, tuple(words[each] for each in shared)))
        return tuple((step, words) for _, step, words in sorted(found)[:GUESSES])


def _weights(words: Mapping[str, Mapping[str, str]]) -> dict[str, float]:
    """Inverse document frequency (Sparck Jones, 1972)."""
    count = Counter(stem for each in words.values() for stem in each)
    return {stem: math.log(len(words) / held) for stem, held in count.items()}


def _stems(text: str) -> dict[str, str]:
    """Words without their commonest endings, each with the word as it stands; words of order tell nothing."""
    found: dict[str, str] = {}
    for word in (each for each in _WORDS.findall(text.lower()) if each not in _OF_ORDER):
        found.setdefault(re.sub(r"(?:ing|ed|es|s)$", "", word) if len(word) > 4 else word, word)
    return found
