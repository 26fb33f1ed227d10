"""The edge to units: every factor held against Pint, every slip told with what would be right."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.ranges import Span
from handwheel.engineering.unit_table import METRIC, SPELLINGS
from handwheel.engineering.units import (
    COMMON,
    INCH,
    Dimension,
    UnitError,
    format_both,
    format_inch,
    format_metric,
    format_span,
    parse,
    parse_pitch,
    parse_span,
    registry,
    significant,
)

AS_PINT_WRITES_IT = {"per in": "1/in", "per cm": "1/cm", "per mm": "1/mm"}


@pytest.mark.parametrize("name", [name for name in COMMON if name])
def test_table_agrees_with_pint(name: str) -> None:
    """Independent oracle: Pint's own definitions; 1e-12 leaves room for the order of multiplications."""
    unit = COMMON[name]
    quantity = registry().Quantity(7.0, AS_PINT_WRITES_IT.get(name, name))
    theirs = quantity.to(unit.dimension.si or "dimensionless").magnitude
    assert 7.0 * unit.factor + unit.offset == pytest.approx(theirs, rel=1e-12)


def test_every_spelling_stands_for_a_unit_of_the_table() -> None:
    assert set(SPELLINGS.values()) <= set(COMMON)
    assert set(METRIC.values()) <= set(COMMON)


@pytest.mark.parametrize("dimension", list(Dimension))
def test_the_example_of_each_dimension_is_right(dimension: Dimension) -> None:
    assert parse(dimension.example, dimension) > 0


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("0.7 N m", Dimension.TORQUE, 0.7),
        ("0.7 N·m", Dimension.TORQUE, 0.7),
        ("30 in lbf", Dimension.TORQUE, 30 * 0.112984829),
        ("30 in-lbf", Dimension.TORQUE, 30 * 0.112984829),
        ("1/4 in", Dimension.LENGTH, 0.00635),
        ("1 3/16 in", Dimension.LENGTH, 0.0301625),
        ('11/64"', Dimension.LENGTH, 0.004365625),
        ("5 mm", Dimension.LENGTH, 0.005),
        ("-5 mm", Dimension.LENGTH, -0.005),
        ("−5 mm", Dimension.LENGTH, -0.005),
        ("20 µm", Dimension.LENGTH, 2e-5),
        ("2 MΩ", Dimension.RESISTANCE, 2e6),
        ("68 °F", Dimension.TEMPERATURE, 293.15),
        ("22 cSt", Dimension.KINEMATIC_VISCOSITY, 22e-6),
        ("2 yard", Dimension.LENGTH, 1.8288),
    ],
)
def test_what_people_write(text: str, dimension: Dimension, si: float) -> None:
    """1 in lbf = 0.112984829 N m (NIST SP 811, appendix B.8)."""
    assert parse(text, dimension) == pytest.approx(si, rel=1e-8)


@pytest.mark.parametrize(
    ("text", "dimension", "told"),
    [
        ("5 N", Dimension.TORQUE, "is a force, not a torque; a torque is a force times its lever, such as '0.7 N m'"),
        ("5 kg", Dimension.TORQUE, "is a mass, not a torque; a torque is a force times its lever"),
        ("30 in lb", Dimension.TORQUE, "is a mass times a length; a torque is written 'in lbf'"),
        ("5 kg cm", Dimension.TORQUE, "written 'kgf cm'"),
        ("0.7 J", Dimension.TORQUE, "is an energy, not a torque"),
        ("5 lb", Dimension.FORCE, "write 'lbf' if the force of that mass is meant"),
        ("5", Dimension.LENGTH, "has no unit; a length is written with one, such as '5 mm'"),
        ("5 mn", Dimension.LENGTH, "unknown unit 'mn'; did you mean 'mm'?"),
        ("240 Mpa", Dimension.STRESS, "did you mean 'MPa'?"),
        ("0,7 N m", Dimension.TORQUE, "write the decimal with a point"),
        ("1 2 mm", Dimension.LENGTH, "has two numbers"),
        ("1/0 in", Dimension.LENGTH, "divides by zero"),
        ("mm", Dimension.LENGTH, "does not start with a number"),
        ("nan mm", Dimension.LENGTH, "does not start with a number"),
        ("1e999 mm", Dimension.LENGTH, "larger than any quantity here"),
        ("5 yard", Dimension.TORQUE, "is no torque"),
        ("5 m^9^9^9^9", Dimension.LENGTH, "unknown unit"),
        ("0.15 mm", Dimension.NUMBER, "is a length, not a number"),
    ],
)
def test_slips_are_told_with_what_would_be_right(text: str, dimension: Dimension, told: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse(text, dimension)
    assert told in str(caught.value)
    assert text in str(caught.value)


@given(st.text(max_size=30), st.sampled_from(Dimension))
def test_any_text_is_a_number_or_an_error_in_words(text: str, dimension: Dimension) -> None:
    try:
        value = parse(text, dimension)
    except UnitError as error:
        assert str(error)
    else:
        assert abs(value) < float("inf")


ODD_UNITS = st.from_regex(r"\A[0-9]{1,3} ?[a-zA-Z0-9 */^%°._()-]{1,20}\Z")


@given(ODD_UNITS, st.sampled_from([Dimension.LENGTH, Dimension.TORQUE]))
def test_any_unit_is_known_or_an_error_in_words(text: str, dimension: Dimension) -> None:
    try:
        value = parse(text, dimension)
    except UnitError as error:
        assert repr(text) in str(error)
    else:
        assert abs(value) < float("inf")


@given(st.floats(1e-3, 1e3), st.sampled_from([name for name in COMMON if name not in ("", "%")]))
def test_what_is_written_reads_back(value: float, name: str) -> None:
    unit = COMMON[name]
    assert parse(f"{value:.9f} {name}", unit.dimension) == pytest.approx(
        value * unit.factor + unit.offset, abs=unit.factor * 1e-9
    )


@given(st.floats(1e-6, 1e4), st.sampled_from([Dimension.LENGTH, Dimension.TORQUE, Dimension.FORCE, Dimension.STRESS]))
def test_what_is_shown_reads_back_to_its_digits(value: float, dimension: Dimension) -> None:
    """Six significant digits are within 5e-6 of the value, metric and inch; inch rounds a second time."""
    for text in (format_metric(value, dimension, 6), format_inch(value, dimension, 6)):
        assert parse(text, dimension) == pytest.approx(value, rel=1e-5)


@given(st.floats(1e-9, 1e9), st.integers(1, 9))
def test_significant_digits_without_exponent(value: float, digits: int) -> None:
    shown = significant(value, digits)
    assert "e" not in shown
    assert float(shown) == pytest.approx(value, rel=0.5000001 * 10 ** (1 - digits))


def test_spans_and_pitches() -> None:
    assert parse_span("0.5 to 0.8 N m", Dimension.TORQUE) == Span(0.5, 0.8)
    assert parse_span("0.5..0.8 N m", Dimension.TORQUE) == Span(0.5, 0.8)
    assert parse_span("5 mm ± 0.1", Dimension.LENGTH).middle == pytest.approx(0.005)
    assert parse_span("20 degC +/- 2", Dimension.TEMPERATURE).width == pytest.approx(4)
    assert parse_span("0.7 N m", Dimension.TORQUE) == Span(0.7, 0.7)
    assert parse_pitch("40 tpi") == pytest.approx(0.635e-3)
    assert parse_pitch("32 per in") == pytest.approx(INCH / 32)
    with pytest.raises(UnitError, match="runs downwards"):
        parse_span("0.8 to 0.5 N m", Dimension.TORQUE)
    with pytest.raises(UnitError, match="cannot be negative"):
        parse_span("5 mm ± -0.1", Dimension.LENGTH)
    for wrong in ("0 tpi", "-40 tpi"):
        with pytest.raises(ValueError, match=r"no thread|outside"):
            parse_pitch(wrong)


def test_both_systems_side_by_side() -> None:
    assert format_both(0.7, Dimension.TORQUE) == "0.7 N m (6.2 in lbf)"
    assert format_both(0.4, Dimension.CURRENT) == "0.4 A"
    assert format_both(293.15, Dimension.TEMPERATURE) == "20 degC (68 degF)"
    assert format_span(Span(0.5, 0.5), Dimension.TORQUE) == "0.5 N m"


def test_common_units_do_not_load_pint() -> None:
    """Loading Pint takes most of a second; a command that needs millimetres only must not pay it."""
    code = (
        "import sys; from handwheel.engineering.units import parse, Dimension;"
        "parse('0.7 N m', Dimension.TORQUE); print('pint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
