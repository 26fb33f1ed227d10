"""What a measured screw can be: ranked threads with probabilities, and the chance that it is none of them.

A screw is thinner than its nominal size by allowance, tolerance and wear, so the likelihood of a thread is
the chance of the reading when the true diameter lies anywhere in that band. Nothing is certain here: a
thread in no series keeps a share, a thread known from memory gives up a fifth of its own to that, and threads
with the same diameter and pitch share theirs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from handwheel.engineering.ranges import Range
from handwheel.engineering.thread_series import NoSuchThread
from handwheel.engineering.threads import DIAMETERS, PITCHES, Thread

SIGMAS = 2.0
"""A stated error is taken as so many standard deviations: about 19 readings of 20 lie within it."""
DIAMETER_ERRORS = Range(1e-6, 2e-3, "mm", si=1e-3)
PITCH_ERRORS = Range(1e-6, 0.5e-3, "mm", si=1e-3)
NONE_PRIOR = 0.1
"""Share of screws on old machines that are in no series listed: the shop's own guess, to be replaced by its counts."""
MEMORY_TRUST = 0.8
"""Chance that a thread known from memory only exists as remembered: a guess, until the shop has measured it."""
OPEN_FIELD = (12e-3, 1.6e-3)
"""Diameters and pitches over which a screw in no series may lie [m]."""
WEAR = 0.03e-3
"""How much wear and filing may take off a diameter besides its tolerance [m]: common practice."""


@dataclass(frozen=True)
class Reading:
    """Outside diameter and pitch of a screw [m], each with its error (about two standard deviations)."""

    diameter: float
    diameter_error: float
    pitch: float
    pitch_error: float

    def __post_init__(self) -> None:
        DIAMETERS.check(self.diameter, "measured diameter")
        PITCHES.check(self.pitch, "measured pitch")
        DIAMETER_ERRORS.check(self.diameter_error, "error of the diameter")
        PITCH_ERRORS.check(self.pitch_error, "error of the pitch")


@dataclass(frozen=True)
class Candidate:
    """A thread that the screw may have.

    Args:
        probability: share of the belief that falls on it.
        diameter_off: reading less nominal diameter [m].
        pitch_off: reading less pitch [m].
        alike: names of threads that these two readings can never tell from it.
    """

    thread: Thread
    probability: float
    diameter_off: float
    pitch_off: float
    alike: tuple[str, ...]

    @property
    def told(self) -> str:
        """The candidate in words, with what stands against certainty."""
        notes = [] if self.thread.verified else ["unverified: the thread itself is known from memory only"]
        if self.alike:
            notes.append(f"same diameter and pitch as {', '.join(self.alike)}: only the flanks can tell")
        shown = f"{self.thread}: {percent(self.probability)}"
        return "; ".join((shown, *notes))


@dataclass(frozen=True)
class Identification:
    """All candidates, likeliest first, and the probability that the screw is in none of the series."""

    reading: Reading
    candidates: tuple[Candidate, ...]
    none: float

    @property
    def settled(self) -> Candidate | None:
        """The first candidate if it has at least 95 % of the belief and is verified; usually there is none."""
        first = self.candidates[0] if self.candidates else None
        return first if first and first.probability >= 0.95 and first.thread.verified else None

    def within(self, share: float) -> tuple[Candidate, ...]:
        """The fewest candidates that hold at least this share of the belief, or all of them."""
        Range(0.0, 1.0).check(share, "share")
        total, taken = 0.0, []
        for candidate in self.candidates:
            if total >= share:
                break
            taken.append(candidate)
            total += candidate.probability
        return tuple(taken)


def percent(probability: float) -> str:
    """A probability in words that never claims certainty.

    Formula: 100 p, rounded [%]; above 99 and below 1 only that is said.
    Source: the shop's own way of saying it.

    >>> percent(0.9999), percent(0.42), percent(0.0001)
    ('over 99 %', '42 %', 'under 1 %')
    """
    if probability > 0.99:
        return "over 99 %"
    return "under 1 %" if probability < 0.01 else f"{100 * probability:.0f} %"


def size_band(thread: Thread) -> tuple[float, float]:
    """Where the outside diameter of a screw of this thread may lie.

    Formula: greatest = d, least = d - (15 + 11 P) - (180 P^(2/3) - 3.15 / P^(1/2)) - wear [um, P in mm].

    Args:
        thread: the thread, 0.7 to 30 mm.

    Returns:
        least and greatest diameter [m].

    Source: formulas of ISO 965-1 for 6g screws; for inch, Whitworth and BA threads an approximation of like size;
        wear of 0.03 mm is common practice.

    >>> from handwheel.engineering.thread_series import thread
    >>> [round(d * 1e3, 2) for d in size_band(thread("M4"))]
    [3.81, 4.0]
    """
    pitch = thread.pitch * 1e3
    off = 15 + 11 * pitch + 180 * pitch ** (2 / 3) - 3.15 / math.sqrt(pitch)
    return thread.diameter - off * 1e-6 - WEAR, thread.diameter


def likelihood(thread: Thread, reading: Reading) -> float:
    """Probability density of a reading for a thread, [1 / m^2].

    Formula: (Phi((x - low) / s) - Phi((x - high) / s)) / (high - low) times phi((p - P) / t) / t: the diameter is
    uniform over `size_band` with the reading's normal error s on top; the pitch has its error t only.

    Args:
        thread: the thread.
        reading: diameter and pitch with errors, as their ranges say.

    Returns:
        density [1 / m^2].

    Source: elementary probability; the convolution of a uniform band with a normal error.

    >>> from handwheel.engineering.thread_series import thread
    >>> reading = Reading(0.00392, 0.00005, 0.0007, 0.00002)
    >>> likelihood(thread("M4"), reading) > 1e3 * likelihood(thread("M4x0.75"), reading)
    True
    """
    low, high = size_band(thread)
    sigma = reading.diameter_error / SIGMAS
    on_diameter = (_below((reading.diameter - low) / sigma) - _below((reading.diameter - high) / sigma)) / (high - low)
    spread = reading.pitch_error / SIGMAS
    on_pitch = math.exp(-(((reading.pitch - thread.pitch) / spread) ** 2) / 2) / (spread * math.sqrt(2 * math.pi))
    return max(0.0, on_diameter) * on_pitch


def _below(z: float) -> float:
    """The normal distribution function, exact in both tails."""
    return math.erfc(-z / math.sqrt(2)) / 2


def identify(
    reading: Reading, among: Iterable[Thread], weights: Mapping[str, float] | None = None, none: float = NONE_PRIOR
) -> Identification:
    """Rank what a measured screw can be.

    Formula: P(thread | reading) = prior x likelihood / sum of all, that of a screw in no series among them.

    Args:
        reading: diameter and pitch [m] with errors.
        among: the threads that come into question.
        weights: how common each series is before measuring, by its name; 1 where not named.
        none: share of screws in no series, 0.001 to 0.9.

    Returns:
        candidates with at least a millionth of the belief, likeliest first; ties by name.

    Source: Bayes' rule over `likelihood`.

    >>> from handwheel.engineering.thread_series import all_threads
    >>> found = identify(Reading(0.00436, 0.00005, 0.000635, 0.00001), all_threads())
    >>> found.candidates[0].told
    'SM 11/64-40 (special inch, unverified): 80 %; unverified: the thread itself is known from memory only'
    """
    Range(0.001, 0.9).check(none, "share of screws in no series")
    threads = tuple(among)
    prior = _prior(threads, weights or {}, none)
    masses = [p * likelihood(t, reading) for t, p in zip(threads, prior, strict=True)]
    open_mass = none / (OPEN_FIELD[0] * OPEN_FIELD[1])
    total = sum(masses) + open_mass
    shares = [_trust(t) * m / total for t, m in zip(threads, masses, strict=True)]
    found = [_candidate(t, s, reading, threads) for t, s in zip(threads, shares, strict=True) if s > 1e-6]
    found.sort(key=lambda c: (-c.probability, c.thread.name))
    return Identification(reading, tuple(found), max(0.0, 1 - sum(shares)))


def _trust(thread: Thread) -> float:
    """What of a candidate's belief stays with it; the rest: no such thread exists, so the screw is in no series."""
    return 1.0 if thread.verified else MEMORY_TRUST


def _prior(threads: tuple[Thread, ...], weights: Mapping[str, float], none: float) -> list[float]:
    """Equal shares by thread, times the weight of the series; together 1 - none."""
    for series, weight in weights.items():
        if series not in {t.series for t in threads}:
            raise NoSuchThread(
                f"no series {series!r} to weigh; there are {', '.join(sorted({t.series for t in threads}))}"
            )
        Range(1e-6, 1e6).check(weight, f"weight of {series}")
    raw = [weights.get(t.series, 1.0) for t in threads]
    return [(1 - none) * w / sum(raw) for w in raw]


def _candidate(thread: Thread, probability: float, reading: Reading, threads: tuple[Thread, ...]) -> Candidate:
    alike = tuple(
        t.called
        for t in threads
        if t.name != thread.name and abs(t.diameter - thread.diameter) < 2e-5 and abs(t.pitch / thread.pitch - 1) < 5e-4
    )
    off = reading.diameter - thread.diameter, reading.pitch - thread.pitch
    return Candidate(thread, probability, *off, alike)
