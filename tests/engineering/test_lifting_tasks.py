"""Duration, rate and composite index against the manual and a published three-task case."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.lifting import (
    Lift,
    NotCoveredError,
    Place,
    frequency_multiplier,
    lifting_index,
    weight_limit,
)
from handwheel.engineering.lifting_tables import US, Coupling, Duration
from handwheel.engineering.lifting_tasks import Task, composite_index, duration_of, rate_over_quarter_hour


def _lift(reach: float, rate: float, coupling: Coupling, twist: float = 0) -> Lift:
    """V 75 and D 5 cm; the destination must not govern, as in the published case."""
    return Lift(Place(reach, 0.75, twist), Place(reach, 0.80), coupling, rate, Duration.MODERATE, placed=False)


CASE = [
    (20.0, _lift(0.25, 1, Coupling.GOOD)),
    (25.0, _lift(0.30, 2, Coupling.POOR)),
    (15.0, _lift(0.30, 2, Coupling.GOOD, 45)),
]


def test_the_composite_case() -> None:
    """INSST note NTP 477, as given in a public program's example file: 0.988, 1.725, 1.088; CLI 2.148; 0.001."""
    indices = [lifting_index(load, weight_limit(lift).governing) for load, lift in CASE]
    assert indices == pytest.approx([0.988, 1.725, 1.088], abs=0.001)
    assert composite_index([Task(load, load, lift) for load, lift in CASE]) == pytest.approx(2.148, abs=0.001)


def test_the_three_tasks_of_the_manual() -> None:
    """NIOSH 94-110, p. 28 (figures from memory): FIRWL 20, 20, 15 lb, loads 30, 20, 10 lb, 1, 2, 4 a minute: 1.9.

    0.05, the printed decimal. The places are chosen here so that the limits come out at 20, 20 and 15 lb.
    """
    inch, pound = 0.0254, 0.45359237
    high = (20 / 25.5 - 1) / -0.0075 + 30

    def task(load: float, rate: float, height: float, twist: float = 0) -> Task:
        at = Place(20 * inch, height * inch, twist)
        lift = Lift(at, at, Coupling.GOOD, rate, Duration.SHORT, placed=False)
        return Task(load * pound, load * pound, lift)

    turned = (1 - 15 / 20) / 0.0032
    tasks = [task(30, 1, high), task(20, 2, high), task(10, 4, high, turned)]
    limits = [weight_limit(replace(each.lift, rate=0.2), US).governing / pound for each in tasks]
    assert limits == pytest.approx([20, 20, 15], abs=0.05)
    assert composite_index(tasks, US) == pytest.approx(1.9, abs=0.05)


def test_frequency_between_two_rows() -> None:
    """Table 5 read between its rows, as p. 7 has it: 5.33 a minute, up to an hour: 0.783, computed by hand."""
    assert frequency_multiplier(5.33, Duration.SHORT, 0.80) == pytest.approx(0.80 - 0.33 * 0.05, abs=5e-4)


def test_order_does_not_matter() -> None:
    tasks = [Task(load, load, lift) for load, lift in CASE]
    assert composite_index(tasks[::-1]) == pytest.approx(composite_index(tasks), rel=1e-12)


@given(st.floats(1, 20), st.floats(0.2, 4), st.floats(0.2, 4))
def test_one_task_split_in_two_weighs_the_same(load: float, first: float, second: float) -> None:
    """Two halves of one task are that task at the summed rate: FILI/FM of the sum, by the formula."""
    halves = [Task(load, load, _lift(0.3, rate, Coupling.GOOD)) for rate in (first, second)]
    whole = Task(load, load, _lift(0.3, first + second, Coupling.GOOD))
    assert composite_index(halves) == pytest.approx(composite_index([whole]), rel=1e-9)


def test_too_often_together_is_endless() -> None:
    tasks = [Task(5, 5, _lift(0.3, 8, Coupling.GOOD)), Task(5, 5, _lift(0.3, 8, Coupling.GOOD))]
    assert composite_index(tasks) == math.inf


@pytest.mark.parametrize(
    ("work", "recovery", "duration"),
    [
        (0.75, 0.75, Duration.SHORT),
        (1.0, 1.0, Duration.SHORT),
        (1.0, 0.9, Duration.MODERATE),  # manual, p. 13: short needs recovery as long as the work
        (2.0, 0.6, Duration.MODERATE),
        (2.0, 0.5, Duration.LONG),
        (8.0, 0.0, Duration.LONG),
        (0.5, None, Duration.LONG),
    ],
)
def test_duration_classes(work: float, recovery: float | None, duration: Duration) -> None:
    """NIOSH 94-110 (rev. 2021), pp. 13 and 14."""
    assert duration_of(work, recovery) is duration


def test_rate_over_a_quarter_of_an_hour() -> None:
    """Manual, p. 16: 10 a minute for 8 of 15 minutes is 5.33."""
    assert rate_over_quarter_hour(10, 8) == pytest.approx(5.33, abs=0.005)


def test_bad_input_is_refused() -> None:
    for work in (0, -1, 8.1, math.nan):
        with pytest.raises(NotCoveredError, match="above 0 and up to 8 h"):
            duration_of(work, 1)
    with pytest.raises(ValueError, match="minutes"):
        rate_over_quarter_hour(10, 16)
    with pytest.raises(ValueError, match="at least one task"):
        composite_index([])
    with pytest.raises(ValueError, match="more than the greatest"):
        Task(5, 4, CASE[0][1])
    short = Lift(Place(0.3, 0.7), Place(0.3, 0.8), Coupling.GOOD)
    with pytest.raises(ValueError, match="share one duration"):
        composite_index([Task(5, 5, CASE[0][1]), Task(5, 5, short)])
