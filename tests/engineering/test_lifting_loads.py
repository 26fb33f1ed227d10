"""Head with motor, head without, base and case against one person's limit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handwheel.engineering.lifting import Lift, Place, weight_limit
from handwheel.engineering.lifting_loads import LIFT_CAUTION, assembled, judge_loads
from handwheel.engineering.lifting_tables import Coupling
from handwheel.engineering.ranges import OutOfRange, Span

OUT_OF_CABINET = Lift(Place(0.50, 0.70), Place(0.40, 0.80), Coupling.FAIR)
PARTS = {"head": Span(8.5, 9.0), "motor": Span(1.6, 2.0), "base": Span(2.5, 3.0), "case": Span(2.0, 2.4)}


def test_taking_the_motor_off_first_makes_it_one_persons_lift() -> None:
    """Limit by hand: 23 x 0.5 x 0.985 x 1 x 1 x 1 x 0.95 = 10.76 kg at the origin, which governs."""
    limit = 23 * 25 / 50 * (1 - 0.003 * 5) * 0.95
    assert weight_limit(OUT_OF_CABINET).governing == pytest.approx(limit, rel=1e-9)
    states = {"head": ["head"], "head with motor": ["head", "motor"], "all": list(PARTS)}
    loads = {name: assembled(PARTS, fitted) for name, fitted in states.items()}
    judged = {entry.load: entry for entry in judge_loads(loads, OUT_OF_CABINET)}
    assert judged["head"].one_person
    assert not judged["head with motor"].one_person
    assert judged["all"].index.high == pytest.approx(16.4 / limit, rel=1e-9)


def test_the_heavier_end_of_an_unsure_mass_decides() -> None:
    limit = weight_limit(OUT_OF_CABINET).governing
    (judged,) = judge_loads({"head": Span(limit - 1, limit + 0.01)}, OUT_OF_CABINET)
    assert not judged.one_person
    assert LIFT_CAUTION in judged.words


def test_three_times_the_limit_is_said() -> None:
    (judged,) = judge_loads({"treadle": Span(33, 35)}, OUT_OF_CABINET)
    assert "nearly everyone" in judged.words


@given(st.floats(0, 60), st.floats(0, 10))
def test_words_follow_the_index(mass: float, width: float) -> None:
    (judged,) = judge_loads({"head": Span(mass, mass + width)}, OUT_OF_CABINET)
    assert judged.one_person is (judged.index.high <= 1)
    assert (LIFT_CAUTION in judged.words) is not judged.one_person
    assert "safe" not in judged.words.lower()


def test_no_height_no_lift() -> None:
    """Above 175 cm the limit is nothing, and any load is too much."""
    shelf = Lift(Place(0.3, 0.8), Place(0.3, 1.8), Coupling.GOOD)
    (judged,) = judge_loads({"needle box": Span(0.1, 0.1)}, shelf)
    assert not judged.one_person


def test_bad_input_is_refused() -> None:
    with pytest.raises(ValueError, match="no mass known for lid; known: head, motor, base, case"):
        assembled(PARTS, ["head", "lid"])
    with pytest.raises(ValueError, match="named twice"):
        assembled(PARTS, ["head", "head"])
    with pytest.raises(ValueError, match="nothing is lifted"):
        assembled(PARTS, [])
    with pytest.raises(OutOfRange, match="head"):
        assembled({"head": Span(-1, 2)}, ["head"])
