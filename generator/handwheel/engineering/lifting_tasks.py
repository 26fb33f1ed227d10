"""Lifting as work: how long, how often, and several tasks done in turn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from handwheel.engineering.lifting import (
    MASS,
    RATE,
    Lift,
    NotCoveredError,
    frequency_multiplier,
    lifting_index,
    multipliers,
    weight_limit,
)
from handwheel.engineering.lifting_tables import MANUAL, METRIC, Constants, Duration
from handwheel.engineering.ranges import Range


def duration_of(work: float, recovery: float | None = None) -> Duration:
    """Class of a stretch of lifting work.

    Formula: short up to 1 h with recovery of at least 1.0 times the work; moderate up to 2 h with at least 0.3
    times; else long, up to 8 h. Recovery not stated counts as none.

    Args:
        work: continuous lifting work [h], above 0 and up to 8.
        recovery: light work after it [h].

    Source: NIOSH 94-110 (rev. 2021), pp. 13 and 14 (the 2021 revision changed 1.2 to 1.0).

    >>> duration_of(0.75, 1.0).name, duration_of(0.75, 0.5).name, duration_of(0.75).name
    ('SHORT', 'MODERATE', 'LONG')
    """
    if not 0 < work <= 8:
        raise NotCoveredError(f"{work} h of lifting: the equation holds above 0 and up to 8 h ({MANUAL}, p. 6)")
    rest = Range(0.0, 24.0, "h").check(recovery or 0.0, "recovery time", MANUAL)
    if work <= 1 and rest >= work:
        return Duration.SHORT
    return Duration.MODERATE if work <= 2 and rest >= 0.3 * work else Duration.LONG


def rate_over_quarter_hour(rate: float, minutes: float) -> float:
    """Lifts a minute to use when lifting fills only part of each quarter of an hour.

    Formula: F = rate * minutes/15.  Args: rate [lifts/min], 0 to 60; minutes [min], 0 to 15.
    Source: NIOSH 94-110 (2021), p. 16 (10 a minute for 8 of 15 minutes: 5.33).

    >>> round(rate_over_quarter_hour(10, 8), 2)
    5.33
    """
    RATE.check(rate, "lifts a minute (F)", MANUAL)
    return rate * Range(0.0, 15.0, "min").check(minutes, "minutes of lifting in fifteen", MANUAL) / 15


@dataclass(frozen=True)
class Task:
    """One of several lifting tasks done in turn: its mean and greatest load [kg] and its lift."""

    mean: float
    greatest: float
    lift: Lift

    def __post_init__(self) -> None:
        MASS.check(self.mean, "mean load", MANUAL)
        MASS.check(self.greatest, "greatest load", MANUAL)
        if self.mean > self.greatest:
            raise ValueError(f"mean load {self.mean} kg is more than the greatest, {self.greatest} kg")


def composite_index(tasks: Sequence[Task], constants: Constants = METRIC) -> float:
    """Composite lifting index (CLI) of several tasks done in turn [1].

    Formula: order by STLI, hardest first; CLI = STLI_1 + sum over i > 1 of FILI_i (1/FM(F_1 + .. + F_i) -
    1/FM(F_1 + .. + F_(i-1))), FM read in task i's own column; FILI = greatest load / (RWL with FM = 1),
    STLI = mean load / RWL. Infinite when any FM needed is 0.

    Args:
        tasks: one or more, with one duration for all.
        constants: METRIC or US.

    Source: NIOSH 94-110 (2021), pp. 26 to 28.

    >>> from handwheel.engineering.lifting import Coupling, Place
    >>> easy = Lift(Place(0.25, 0.75), Place(0.25, 0.80), Coupling.GOOD, 1)
    >>> round(composite_index([Task(10, 10, easy)]), 3)
    0.47
    """
    if not tasks:
        raise ValueError("a composite index needs at least one task")
    if len({task.lift.duration for task in tasks}) > 1:
        raise ValueError("tasks done in turn share one duration: give the whole time to each")
    ordered = sorted(tasks, key=lambda task: _single_index(task, constants), reverse=True)
    total, rate = _single_index(ordered[0], constants), ordered[0].lift.rate
    for task in ordered[1:]:
        total += _increment(task, rate, rate + task.lift.rate, constants)
        rate += task.lift.rate
    return total


def _single_index(task: Task, constants: Constants) -> float:
    return lifting_index(task.mean, weight_limit(task.lift, constants).governing)


def _increment(task: Task, before: float, after: float, constants: Constants) -> float:
    lift, free = task.lift, _free_limit(task.lift, constants)
    first, second = (frequency_multiplier(f, lift.duration, lift.origin.height, constants) for f in (before, after))
    if free == 0 or second == 0 or first == 0:
        return math.inf
    return task.greatest / free * (1 / second - 1 / first)


def _free_limit(lift: Lift, constants: Constants) -> float:
    """The limit with FM taken as 1 (FIRWL)."""
    places = (lift.origin, lift.destination) if lift.placed else (lift.origin,)
    products = (replace(multipliers(lift, place, constants), frequency=1.0).product for place in places)
    return constants.load * constants.mass * min(products)
