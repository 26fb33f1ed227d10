"""Words of shared runs: `$parts` in a step's effects, filled in by whoever uses the run."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from handwheel.reading.messages import Message, nearest
from handwheel.records.step_records import Step, Use, Wait
from handwheel.records.work_records import Procedure

Words = Mapping[str, tuple[str, ...]]

_FIELDS = tuple(
    each.name for each in dataclasses.fields(Step) if each.name not in ("id", "place", "at", "shown", "sources")
)


def given(use: Use, run: Procedure, around: Words) -> tuple[dict[str, tuple[str, ...]], tuple[Message, ...]]:
    """What the run's words stand for, and a message for each that is missing or not its own."""
    words = {word: tuple(spread(values, around)) for word, values in use.words.items()}
    messages = [_missing(use, run, word) for word in run.takes if not words.get(word)]
    messages += [_extra(use, run, word) for word in words if word not in run.takes]
    return words, tuple(messages)


def fill(step: Step, words: Words) -> Step:
    """The step with every `$word` replaced; lists are spread, a word without a value is left out."""
    changed = {}
    for name in _FIELDS:
        value = getattr(step, name)
        filled = _filled(value, words)
        if filled is not value:
            changed[name] = filled
    return dataclasses.replace(step, **changed) if changed else step


def unknown_words(step: Step, run: Procedure) -> Iterator[Message]:
    """A message for each `$word` that the run does not take."""
    for name in _FIELDS:
        for word in _words_in(getattr(step, name)):
            if word not in run.takes:
                yield _unknown(step, run, name, word)


def spread(values: Iterable[str], words: Words) -> Iterator[str]:
    """The values, each `$word` replaced by all that it stands for."""
    for value in values:
        if value.startswith("$"):
            yield from words.get(value[1:], ())
        else:
            yield value


def _filled(value: Any, words: Words) -> Any:
    """The very same value where no word stands in it."""
    if next(_words_in(value), None) is None:
        return value
    match value:
        case str():
            return next(spread((value,), words), "")
        case tuple():
            return tuple(spread(value, words))
        case Wait():
            return dataclasses.replace(value, of=tuple(spread(value.of, words)))
        case _:
            return {k: _filled(each, words) for key, each in value.items() for k in spread((key,), words)}


def _words_in(value: Any) -> Iterator[str]:
    match value:
        case str():
            if value.startswith("$"):
                yield value[1:]
        case tuple():
            for each in value:
                yield from _words_in(each)
        case Wait(of=of):
            yield from _words_in(of)
        case Mapping():
            for key, each in value.items():
                yield from _words_in(key)
                yield from _words_in(each)


def _missing(use: Use, run: Procedure, word: str) -> Message:
    what = f"'{run.id}' needs its word '{word}'"
    return Message("missing-word", use.where("with"), what, f"with: {{{word}: ...}}")


def _extra(use: Use, run: Procedure, word: str) -> Message:
    near = nearest(word, run.takes)
    right = f"did you mean '{near}'?" if near else _taken(run)
    return Message("extra-word", use.where("with"), f"'{run.id}' takes no word '{word}'", right)


def _unknown(step: Step, run: Procedure, name: str, word: str) -> Message:
    near = nearest(word, run.takes)
    right = f"did you mean '${near}'?" if near else _taken(run)
    return Message("unknown-word", step.where(name), f"'${word}' is no word that '{run.id}' takes", right)


def _taken(run: Procedure) -> str:
    return f"it takes {', '.join(run.takes)}" if run.takes else "it takes no words"
