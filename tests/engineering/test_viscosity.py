"""Viscosity against ASTM D2270 and D341 examples and the open library chemicals."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.ranges import OutOfRange
from handwheel.engineering.viscosity import (
    Reading,
    reference_oils,
    viscosity_at,
    viscosity_index,
    viscosity_of_index,
)
from handwheel.engineering.viscosity_index_table import QUADRATICS, by_quadratic, rows

MM2 = 1e-6


@pytest.fixture(scope="module")
def library() -> Any:
    """The open library chemicals, a development dependency."""
    return pytest.importorskip("chemicals.viscosity")


@pytest.mark.parametrize(
    ("at_40", "at_100", "unrounded", "tolerance", "reported"),
    [
        (73.30, 8.86, 92.43, 0.01, 92),  # ASTM D2270, 5.1.4, seen
        (22.83, 5.05, 156.37, 0.1, 156),  # 6.1.4 (1), seen; the standard rounds H to 28.97 first: hence 0.1
        (53.47, 7.80, 111.30, 0.02, 111),  # 6.1.4 (2), U seen, result from memory
    ],
)
def test_the_standards_own_examples(
    at_40: float, at_100: float, unrounded: float, tolerance: float, reported: int
) -> None:
    found = viscosity_index(at_40 * MM2, at_100 * MM2)
    assert found == pytest.approx(unrounded, abs=tolerance)
    assert round(found) == reported


def test_l_and_h_of_the_example() -> None:
    """ASTM D2270, 5.1.4: L 119.94, H 69.48, half a printed digit."""
    low, high = reference_oils(8.86 * MM2)
    assert low / MM2 == pytest.approx(119.94, abs=0.005)
    assert high / MM2 == pytest.approx(69.48, abs=0.005)


def test_above_seventy_by_formula() -> None:
    """ASTM D2270, 5.1.2 at Y = 75: L 5582.8, H 1739.0 (computed by hand)."""
    low, high = reference_oils(75 * MM2)
    assert low / MM2 == pytest.approx(5582.8, abs=0.05)
    assert high / MM2 == pytest.approx(1739.0, abs=0.05)


@pytest.mark.parametrize("at_100", [1.9, 1.999, 0.0, -3.0, math.nan, 501.0])
def test_no_index_outside_its_range(at_100: float) -> None:
    """ASTM D2270, 5.1.1: not defined below 2.0 mm^2/s at 100 degC."""
    with pytest.raises(OutOfRange, match="viscosity at 100 degC"):
        viscosity_index(10 * MM2, at_100 * MM2)


def test_exchanged_viscosities_are_noticed() -> None:
    with pytest.raises(ValueError, match="exchanged"):
        viscosity_index(8.86 * MM2, 73.30 * MM2)


@given(st.floats(2.0, 150), st.floats(1.05, 30))
def test_index_as_the_library_chemicals(library: Any, at_100: float, ratio: float) -> None:
    """chemicals.viscosity.viscosity_index: its own code over the same table; 1e-9 for rounding."""
    at_40 = at_100 * ratio
    expected = library.viscosity_index(at_40 * MM2, at_100 * MM2)
    low, high = reference_oils(at_100 * MM2)
    if abs(at_40 - high / MM2) > 1e-6:  # at H itself both procedures give 100
        assert viscosity_index(at_40 * MM2, at_100 * MM2) == pytest.approx(expected, rel=1e-9, abs=1e-6)
    assert low > high > 0


def test_table_1_entry_by_entry(library: Any) -> None:
    """Every entry as the library chemicals carries it: shows later edits, not misprints of the library."""
    other = zip(library.VI_nus, library.VI_Ls, library.VI_Hs, strict=True)
    assert rows() == tuple(other)


def test_table_1_by_the_quadratics() -> None:
    """All 622 values within 0.1 % of the standard's quadratics, which were written down without the table."""
    for y, low, high in rows():
        assert by_quadratic(y) == pytest.approx((low, high), rel=1e-3)
    assert len(QUADRATICS) == 15


@given(st.floats(2.0, 70), st.floats(-50, 350))
def test_index_turned_round(at_100: float, index: float) -> None:
    at_40 = viscosity_of_index(index, at_100 * MM2)
    if at_40 > at_100 * MM2 * 1.001 and at_40 > 2 * MM2:
        assert viscosity_index(at_40, at_100 * MM2) == pytest.approx(index, abs=1e-6)


@given(st.floats(2.5, 40), st.floats(1.5, 20), st.floats(1.001, 1.5))
def test_a_thinner_oil_at_40_has_the_higher_index(at_100: float, ratio: float, more: float) -> None:
    thin, thick = at_100 * ratio, at_100 * ratio * more
    assert viscosity_index(thin * MM2, at_100 * MM2) > viscosity_index(thick * MM2, at_100 * MM2)


def test_walther_worked_example() -> None:
    """ASTM D341 worked example (seen): 32 at 40 and 5.4 at 100 degC give 8.5 at 80; computed 8.533, so 0.03."""
    found = viscosity_at(353.15, Reading(313.15, 32 * MM2), Reading(373.15, 5.4 * MM2))
    assert found.viscosity / MM2 == pytest.approx(8.53, abs=0.03)
    assert found.between


@pytest.mark.parametrize(("at_40", "at_100", "at_20"), [(10, 2.6, 20.8), (22, 4.3, 54.3)])
def test_bench_temperature(at_40: float, at_100: float, at_20: float) -> None:
    """Two light oils at 20 degC, worked from the formula by hand; beyond the readings, and said so."""
    found = viscosity_at(293.15, Reading(313.15, at_40 * MM2), Reading(373.15, at_100 * MM2))
    assert found.viscosity / MM2 == pytest.approx(at_20, abs=0.06)
    assert not found.between
    assert "beyond" in found.words


def _two() -> st.SearchStrategy[tuple[Reading, Reading]]:
    return st.builds(
        lambda hot, ratio, t, dt: (Reading(t, hot * ratio * MM2), Reading(t + dt, hot * MM2)),
        st.floats(1.0, 100),
        st.floats(1.2, 20),
        st.floats(274, 320),
        st.floats(15, 50),
    )


@given(_two())
def test_a_reading_gives_itself_back_and_order_does_not_matter(pair: tuple[Reading, Reading]) -> None:
    for reading in pair:
        assert viscosity_at(reading.temperature, *pair).viscosity == pytest.approx(reading.viscosity, rel=1e-6)
        turned = viscosity_at(reading.temperature, *reversed(pair)).viscosity
        assert turned == pytest.approx(reading.viscosity, rel=1e-6)


@given(_two(), st.floats(0.1, 0.9))
def test_viscosity_falls_with_temperature(pair: tuple[Reading, Reading], part: float) -> None:
    cold, hot = pair
    between = viscosity_at(cold.temperature + part * (hot.temperature - cold.temperature), cold, hot)
    assert hot.viscosity < between.viscosity < cold.viscosity


def test_formula_as_written_in_d341() -> None:
    """The three terms of ASTM D341 worked out with logarithms of 10 and without the code's rearrangement."""

    def loglog(v: float) -> float:
        return math.log10(math.log10(v + 0.7 + math.exp(-1.47 - 1.84 * v - 0.51 * v * v)))

    b = (loglog(9.0) - loglog(1.2)) / (math.log10(373.15) - math.log10(293.15))
    a = loglog(9.0) + b * math.log10(293.15)
    found = viscosity_at(333.15, Reading(293.15, 9.0 * MM2), Reading(373.15, 1.2 * MM2)).viscosity / MM2
    assert loglog(found) == pytest.approx(a - b * math.log10(333.15), rel=1e-9)


@pytest.mark.parametrize(
    ("temperature", "first", "second", "message"),
    [
        (20.0, (313.15, 32), (373.15, 5.4), "temperature"),  # degrees Celsius given for kelvin
        (253.15, (313.15, 32), (373.15, 5.4), "temperature"),  # -20 degC: near the pour point
        (353.15, (313.15, 5.4), (373.15, 32), "exchanged"),
        (353.15, (313.15, 32), (320.15, 30), "10 K apart"),
        (353.15, (313.15, 32), (373.15, 0.1), "kinematic viscosity"),
        (353.15, (313.15, -32), (373.15, 5.4), "hotter"),
    ],
)
def test_bad_input_is_refused(
    temperature: float, first: tuple[float, float], second: tuple[float, float], message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        viscosity_at(temperature, Reading(first[0], first[1] * MM2), Reading(second[0], second[1] * MM2))


def test_a_steep_oil_is_refused_when_the_cold_result_leaves_the_formula() -> None:
    with pytest.raises(OutOfRange, match="computed viscosity"):
        viscosity_at(273.15, Reading(363.15, 10_000 * MM2), Reading(373.15, 1.0 * MM2))
