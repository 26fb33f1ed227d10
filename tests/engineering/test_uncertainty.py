"""Uncertainty against the GUM's own examples, certified data, and scipy."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from handwheel.engineering.ranges import OutOfRange
from handwheel.engineering.uncertainty import (
    Agreement,
    Measured,
    combine,
    difference,
    line_through,
    mean_of,
    rectangular,
    students_t,
)

# JCGM 100:2008, table 1 (4.4.3): twenty readings of a temperature. Text of the table from memory; that mean and
# deviation come out to every printed digit shows the readings right.
GUM_TABLE_1 = [
    *(96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07),
    *(100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72),
]

# NIST Statistical Reference Datasets, linear regression, Norris (36 points, certified to 15 digits).
NORRIS_X = [
    *(0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4),
    *(0.6, 775.5, 666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3),
    *(0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5),
]
NORRIS_Y = [
    *(0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3),
    *(0.1, 778.1, 668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3),
    *(0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2),
]


def test_the_gum_example_of_twenty_readings() -> None:
    """JCGM 100:2008, 4.4.3: mean 100.145, u = 0.333; tolerance half a printed digit."""
    result = mean_of(GUM_TABLE_1)
    assert result.value == pytest.approx(100.145, abs=0.0005)
    assert result.uncertainty == pytest.approx(0.333, abs=0.0005)
    assert result.degrees == 19


def test_the_gum_end_gauge() -> None:
    """JCGM 100:2008, H.1 (values from memory): u 32 nm, about 16 degrees of freedom, U99 93 nm."""
    parts = [Measured(0, 25, 18), Measured(0, 9.7, 25.6), Measured(0, 2.9, 50), Measured(0, 16.6, 2)]
    total = combine(0, parts)
    assert total.uncertainty == pytest.approx(32, abs=0.5)
    assert math.floor(total.degrees) == 16
    assert total.expanded(0.99) == pytest.approx(93, abs=1)  # the GUM rounds u up to 32 before multiplying


@pytest.mark.parametrize(
    ("degrees", "t95", "t99"), [(1, 12.71, 63.66), (2, 4.30, 9.92), (5, 2.57, 4.03), (10, 2.23, 3.17), (50, 2.01, 2.68)]
)
def test_table_g2_of_the_gum(degrees: int, t95: float, t99: float) -> None:
    """JCGM 100:2008, table G.2, two decimals."""
    assert students_t(0.95, degrees) == pytest.approx(t95, abs=0.0051)
    assert students_t(0.99, degrees) == pytest.approx(t99, abs=0.0051)


@given(st.floats(0.5, 0.9999), st.integers(1, 2000))
def test_students_t_as_scipy(coverage: float, degrees: int) -> None:
    """scipy.stats.t, an independent implementation by incomplete beta functions."""
    assert students_t(coverage, degrees) == pytest.approx(stats.t.ppf((1 + coverage) / 2, degrees), rel=1e-8)


def test_endless_degrees_are_the_normal_distribution() -> None:
    assert students_t(0.95, math.inf) == pytest.approx(stats.norm.ppf(0.975), rel=1e-12)


def test_many_degrees_never_give_too_small_a_t() -> None:
    for degrees in (2001, 5000, 1e6):
        exact = stats.t.ppf(0.975, degrees)
        assert exact <= students_t(0.95, degrees) < exact + 0.002


def test_norris_to_ten_digits() -> None:
    """NIST StRD Norris: certified values; 10 digits, as plain double sums reach on this set."""
    line = line_through(list(zip(NORRIS_X, NORRIS_Y, strict=True)))
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-10)
    assert line.intercept == pytest.approx(-0.262323073774029, rel=1e-10)
    assert line.residual == pytest.approx(0.884796396144373, rel=1e-10)
    assert line.slope_uncertainty == pytest.approx(0.429796848199937e-3, rel=1e-10)
    assert line.intercept_uncertainty == pytest.approx(0.232818234301152, rel=1e-10)


@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), min_size=3, max_size=12))
def test_lines_as_scipy(points: list[tuple[float, float]]) -> None:
    """scipy.stats.linregress; 1e-6 of the greatest y, for nearly upright clouds lose digits."""
    xs = [x for x, _ in points]
    assume(max(xs) - min(xs) > 1 and len({y for _, y in points}) > 1)  # scipy gives no error for a level line
    line, other = line_through(points), stats.linregress(xs, [y for _, y in points])
    assert line.slope == pytest.approx(other.slope, rel=1e-6, abs=1e-6)
    assert line.slope_uncertainty == pytest.approx(other.stderr, rel=1e-5, abs=1e-5)


@given(st.lists(st.floats(-1e3, 1e3), min_size=2, max_size=9), st.floats(-100, 100))
def test_a_common_shift_moves_the_mean_and_not_its_uncertainty(values: list[float], shift: float) -> None:
    first, second = mean_of(values), mean_of([value + shift for value in values])
    assert second.value == pytest.approx(first.value + shift, abs=1e-6)
    assert second.uncertainty == pytest.approx(first.uncertainty, abs=1e-6)


@given(st.lists(st.tuples(st.floats(1e-6, 10), st.integers(1, 50)), min_size=1, max_size=6))
def test_combined_uncertainty_lies_between_the_greatest_and_the_sum(parts: list[tuple[float, int]]) -> None:
    total = combine(0.0, [Measured(0, u, nu) for u, nu in parts])
    assert max(u for u, _ in parts) * (1 - 1e-12) <= total.uncertainty <= sum(u for u, _ in parts) * (1 + 1e-12)
    assert min(nu for _, nu in parts) - 1e-6 <= total.degrees <= sum(nu for _, nu in parts) + 1e-6


@given(st.lists(st.floats(1, 9), min_size=3, max_size=8), st.lists(st.floats(1, 9), min_size=3, max_size=8))
def test_difference_as_welch(first: list[float], second: list[float]) -> None:
    """scipy.stats.ttest_ind without equal variances, degrees rounded down as the GUM has it."""
    a, b = mean_of(first), mean_of(second)
    assume(min(a.uncertainty, b.uncertainty) > 1e-3)
    other = stats.ttest_ind(first, second, equal_var=False)
    degrees = math.floor(other.df + 1e-9)
    assume(abs(other.df - round(other.df)) > 1e-6 or other.df == round(other.df))
    half = math.hypot(a.uncertainty, b.uncertainty) * stats.t.ppf(0.975, degrees)
    result = difference(a, b)
    assert result.expanded == pytest.approx(half, rel=1e-6)
    assert (result.words == Agreement.DIFFERS) is (abs(result.value) > result.expanded)


def test_a_rectangle() -> None:
    """JCGM 100:2008, 4.3.7: a/sqrt(3); scipy's uniform distribution as witness."""
    assert rectangular(0.5) == pytest.approx(stats.uniform(-0.5, 1).std(), rel=1e-12)


def test_bad_input_is_refused_in_words() -> None:
    with pytest.raises(ValueError, match="take at least two"):
        mean_of([2.5])
    with pytest.raises(ValueError, match="nan"):
        mean_of([2.5, math.nan])
    with pytest.raises(OutOfRange, match="coverage"):
        students_t(1.0, 5)
    with pytest.raises(ValueError, match="at least one"):
        students_t(0.95, 0)
    with pytest.raises(ValueError, match="at least three"):
        line_through([(0, 1), (1, 2)])
    with pytest.raises(ValueError, match="one position"):
        line_through([(1, 1), (1, 2), (1, 3)])
    with pytest.raises(OutOfRange, match="position"):
        line_through([(1, 1), (2, 2), (3, 3)]).at(3.01)
    with pytest.raises(ValueError, match="half width"):
        rectangular(-1)
    with pytest.raises(ValueError, match="standard uncertainty"):
        Measured(1, -1)
    with pytest.raises(ValueError, match="degrees"):
        Measured(1, 1, 0.5)
