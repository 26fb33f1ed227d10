"""A regulator tried on a sewn sample: what each mark sews, forward and in reverse, and the scale of an unmarked one.

Lengths are in metres. `pages/assets/stitch.js` gives the same numbers and the same words.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from handwheel.engineering.stitches import (
    INCH,
    READING,
    Marking,
    Regulator,
    Stretch,
    forward_against_reverse,
    scale_of,
    sewn_length,
    try_mark,
)
from handwheel.engineering.uncertainty import Measured, difference, rectangular

READING_ERROR = 0.5e-3
"""A steel rule with millimetres, read at both ends: give or take half a division (common practice)."""


@dataclass(frozen=True)
class Sewn:
    """One stretch of the sample: where the regulator stood (None: not noted), which way it fed, what was counted."""

    stretch: Stretch
    position: float | None = None
    forward: bool = True


@dataclass(frozen=True)
class Setting:
    """All stretches sewn at one position in one direction, and the stitch length they show."""

    position: float | None
    forward: bool
    stretches: tuple[Stretch, ...]
    length: Measured

    @property
    def name(self) -> str:
        """Position and direction in words."""
        way = "forward" if self.forward else "reverse"
        return way.capitalize() if self.position is None else f"At {self.position:g}, {way}"


def stitch_of(stretches: Sequence[Stretch], error: float = READING_ERROR) -> Measured:
    """Stitch length that one or more stretches show.

    Formula: two and more as `sewn_length`; a single one L/n with u = (a/sqrt(3))/n, the rule's error alone.

    Args:
        stretches: one or more [m, count].
        error: the rule is read to give or take this [m], 0 to 5 mm.

    Source: JCGM 100:2008, 4.3.7 and 5.1.2.

    >>> one = stitch_of([Stretch(0.050, 20)])
    >>> round(one.value * 1e3, 3), round(one.expanded() * 1e3, 3)
    (2.5, 0.028)
    """
    if len(stretches) > 1:
        return sewn_length(stretches, error)
    READING.check(error, "reading error")
    only = stretches[0]
    return Measured(only.stitch, rectangular(error) / only.stitches)


def settings_of(sewn: Sequence[Sewn], error: float = READING_ERROR) -> tuple[Setting, ...]:
    """The stretches put together by position and direction, in the order they were first noted.

    Formula: that of `sewn_length`, for each group.
    Source: that of `sewn_length`; `error` [m] is how far the rule may be off.

    >>> sample = [Sewn(Stretch(0.0500, 20)), Sewn(Stretch(0.0502, 20))]
    >>> [round(each.length.value * 1e3, 3) for each in settings_of(sample, 0.0005)]
    [2.505]
    """
    groups: dict[tuple[float | None, bool], list[Stretch]] = {}
    for each in sewn:
        groups.setdefault((each.position, each.forward), []).append(each.stretch)
    return tuple(Setting(*key, tuple(found), stitch_of(found, error)) for key, found in groups.items())


def told(
    sewn: Sequence[Sewn],
    marking: Marking | None = None,
    error: float = READING_ERROR,
    wanted: float | None = None,
) -> Iterator[str]:
    """What the sample shows, a line each.

    Formula: those of `sewn_length`, `try_mark`, `scale_of` and `forward_against_reverse`.
    Source: theirs.

    Args:
        sewn: every stretch.
        marking: what the numbers on the regulator mean; None when it carries none that do.
        error: the rule is read to give or take this [m].
        wanted: the stitch length to find a position for [m]; needs an unmarked regulator's scale.

    >>> sample = [Sewn(Stretch(0.0500, 20)), Sewn(Stretch(0.0502, 20))]
    >>> next(told(sample, None, 0.0005)).partition(" give or take")[0]
    'Forward: 2.505 mm a stitch,'
    """
    found = settings_of(sewn, error)
    for each in found:
        yield f"{each.name}: {length_words(each.length)}"
        if len(each.stretches) == 1:
            yield "One stretch shows no spread: the figure holds the rule's error only. Sew and count another."
        if marking and each.position is not None:
            yield f"{each.name}: {try_mark(each.position, marking, each.length).words}."
    yield from _both_ways(found, error)
    if marking is None:
        yield from _scale([each for each in sewn if each.forward and each.position is not None], error, wanted)


def length_words(length: Measured) -> str:
    """Stitch length and stitches to the inch, each with its uncertainty at 95 %.

    Formula: 25.4 mm / length [m]; its ends from length - U and length + U.
    Source: the inch is 25.4 mm exactly; U as `Measured.expanded`.

    >>> length_words(Measured(0.0025, 0.00001))
    '2.500 mm a stitch, give or take 0.020 mm; 10.16 stitches to the inch (10.08 to 10.24).'
    """
    give = length.expanded()
    low = f"{INCH / (length.value + give):.2f}"
    high = f"{INCH / (length.value - give):.2f}" if give < length.value else "no upper end"
    return (
        f"{length.value * 1e3:.3f} mm a stitch, give or take {give * 1e3:.3f} mm; "
        f"{INCH / length.value:.2f} stitches to the inch ({low} to {high})."
    )


def _both_ways(found: Sequence[Setting], error: float) -> Iterator[str]:
    back = {each.position: each for each in found if not each.forward}
    for each in found:
        other = back.get(each.position) if each.forward else None
        if other is None:
            continue
        if len(each.stretches) > 1 and len(other.stretches) > 1:
            result = forward_against_reverse(each.stretches, other.stretches, error)
        else:
            result = difference(each.length, other.length)
        at = "" if each.position is None else f" at {each.position:g}"
        yield (
            f"Forward less reverse{at}: {result.value * 1e3:+.3f} mm, known to {result.expanded * 1e3:.3f} mm; "
            f"{result.words}."
        )


def _scale(tried: Sequence[Sewn], error: float, wanted: float | None) -> Iterator[str]:
    places = sorted({each.position for each in tried if each.position is not None})
    if len(places) < 3:
        if wanted is not None or places:
            yield "A scale needs stretches sewn forward at three or more positions; two cannot show a bend."
        return
    scale = scale_of([(each.position or 0.0, [each.stretch]) for each in tried], error)
    yield from _scale_words(scale, places)
    if wanted is not None:
        position = scale.position_for(wanted)
        yield f"For {wanted * 1e3:g} mm set it to {position:.2f}: {length_words(scale.length_at(position))}"


def _scale_words(scale: Regulator, places: Sequence[float]) -> Iterator[str]:
    yield (
        f"Scale of the regulator from {places[0]:g} to {places[-1]:g}: {scale.line.slope * 1e3:+.3f} mm a step; "
        f"furthest off the line {scale.misfit * 1e3:.3f} mm."
    )
