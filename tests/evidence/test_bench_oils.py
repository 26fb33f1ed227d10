"""Oils at the bench: the worked example of ASTM D341, a round trip through ASTM D2270, and what is refused."""

from __future__ import annotations

import dataclasses
import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.ranges import OutOfRange
from handwheel.engineering.viscosity import viscosity_index
from handwheel.evidence import bench_oils
from handwheel.evidence.bench_oils import at_bench, at_temperature, bench_temperature
from handwheel.records.library import Library
from handwheel.records.values import Number


def at(demo: Library, degrees: float) -> Library:
    assert demo.shop is not None
    shop = dataclasses.replace(demo.shop, bench_temperature=Number(f"{degrees:g}", degrees))
    return dataclasses.replace(demo, kinds={**demo.kinds, "shops": {shop.id: shop}})


def test_examples_in_the_docs() -> None:
    found = doctest.testmod(bench_oils)
    assert found.attempted > 0
    assert found.failed == 0


@given(st.floats(7.5, 400), st.floats(0, 150))
def test_the_index_comes_back(at_40: float, index: float) -> None:
    """Viscosity at 100 degC by D341 has the index by D2270 that was put in."""
    try:
        at_100 = at_temperature(at_40 * 1e-6, index, 373.15)
    except ValueError:
        return
    assert viscosity_index(at_40 * 1e-6, at_100) == pytest.approx(index, abs=0.01)


@given(st.floats(10, 150), st.floats(1, 39), st.floats(0.5, 0.9))
def test_an_oil_is_thicker_in_the_cold(at_40: float, degrees: float, share: float) -> None:
    warm, cold = (at_temperature(at_40 * 1e-6, 95, 273.15 + each) for each in (degrees, degrees * share))
    assert cold > warm > at_40 * 1e-6


def test_grades_at_the_bench(demo: Library) -> None:
    """A VG 15 oil at 18 degC is two to three times as thick as at 40 degC; VG 7 is too thin for the index."""
    told = [each.words for each in at_bench(at(demo, 18), demo.of("lubricants")["light-oil"])]
    assert told[2].startswith("VG 15: about 32 to")
    assert "cannot be told" in told[0]
    assert list(at_bench(demo, demo.of("lubricants")["gear-grease"])) == []


@pytest.mark.parametrize("degrees", [-5.0, 180.0])
def test_a_temperature_outside_is_refused(demo: Library, degrees: float) -> None:
    with pytest.raises(OutOfRange, match="0 °C to 100 °C"):
        bench_temperature(at(demo, degrees))
    told = list(at_bench(at(demo, degrees), demo.of("lubricants")["light-oil"]))
    assert told
    assert all("cannot be told" in each.words for each in told)
