"""What a measured screw can be: likelihood against SciPy, calibration by simulation, honest answers."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import norm

from handwheel.engineering.ranges import OutOfRange
from handwheel.engineering.screws import SIGMAS, Identification, Reading, identify, likelihood, percent, size_band
from handwheel.engineering.thread_series import NoSuchThread, all_threads, thread
from handwheel.engineering.threads import Thread

VERIFIED = [t for t in all_threads() if t.verified]


def reading(diameter: float, pitch: float, error: float = 0.05, pitch_error: float = 0.02) -> Reading:
    return Reading(diameter / 1e3, error / 1e3, pitch / 1e3, pitch_error / 1e3)


@pytest.mark.parametrize(
    ("name", "low"), [("M3", 2.874), ("M4", 3.838), ("M5", 4.826), ("M6", 5.794), ("M8", 7.760)]
)  # fmt: skip
def test_the_band_is_that_of_a_6g_screw_less_wear(name: str, low: float) -> None:
    """ISO 965-2 least major diameters 6g; 0.007 mm since the standard rounds its tolerances; wear 0.03 mm."""
    assert size_band(thread(name))[0] * 1e3 == pytest.approx(low - 0.03, abs=0.007)
    assert size_band(thread(name))[1] == thread(name).diameter


@pytest.mark.parametrize(("diameter", "pitch"), [(3.90, 0.70), (3.80, 0.71), (4.05, 0.69), (3.97, 0.72)])
def test_likelihood_against_numerical_integration(diameter: float, pitch: float) -> None:
    """Independent oracle: SciPy's quad over the band and SciPy's normal density; 1e-7 is quad's own error."""
    seen = reading(diameter, pitch)
    low, high = size_band(thread("M4"))
    sigma = seen.diameter_error / SIGMAS

    def density(at: float) -> float:
        return float(norm.pdf(seen.diameter, at, sigma))

    by_diameter = quad(density, low, high, points=[min(max(seen.diameter, low), high)])[0] / (high - low)
    expected = by_diameter * norm.pdf(seen.pitch, 0.0007, seen.pitch_error / SIGMAS)
    assert likelihood(thread("M4"), seen) == pytest.approx(expected, rel=1e-7)


def names(found: Identification, count: int = 3) -> list[str]:
    return [c.thread.name for c in found.candidates[:count]]


def test_threads_of_one_diameter_and_pitch_share_their_belief() -> None:
    found = identify(reading(3.15, 0.635), all_threads())
    shares = {c.thread.name: c.probability for c in found.candidates}
    assert shares["5-40 UNC"] == pytest.approx(shares["1/8-40 BSW"])
    assert shares["SM 1/8-40"] == pytest.approx(0.8 * shares["5-40 UNC"])
    assert found.settled is None
    assert "only the flanks can tell" in found.candidates[0].told


def test_a_special_inch_thread_comes_back_unverified_and_never_settled() -> None:
    found = identify(reading(4.35, 0.635, 0.02, 0.005), all_threads())
    assert names(found, 1) == ["SM 11/64-40"]
    assert "unverified" in found.candidates[0].told
    assert found.settled is None
    assert found.none > 0.15


def test_a_screw_in_no_series_is_said_to_be_in_none() -> None:
    found = identify(reading(5.2, 1.10, 0.02, 0.02), all_threads())
    assert found.none > 0.99
    assert found.settled is None


def test_a_clear_case_settles() -> None:
    found = identify(reading(7.9, 1.25, 0.03, 0.02), all_threads())
    assert found.settled is not None
    assert found.settled.thread.name == "M8"
    assert percent(found.settled.probability) != "100 %"


@given(st.floats(1.5, 9), st.floats(0.25, 1.5), st.floats(0.01, 0.3), st.floats(0.005, 0.2))
def test_belief_adds_up_and_falls(diameter: float, pitch: float, error: float, pitch_error: float) -> None:
    found = identify(reading(diameter, pitch, error, pitch_error), all_threads())
    total = sum(c.probability for c in found.candidates) + found.none
    assert total == pytest.approx(1, abs=2e-4)  # candidates under a millionth are left out
    shares = [c.probability for c in found.candidates]
    assert shares == sorted(shares, reverse=True)
    assert all(0 <= s < 1 for s in shares)


@given(st.floats(2, 8), st.floats(0.35, 1.25))
def test_a_series_that_is_commoner_never_loses_by_it(diameter: float, pitch: float) -> None:
    def share(weights: dict[str, float]) -> float:
        found = identify(reading(diameter, pitch), all_threads(), weights)
        return sum(c.probability for c in found.candidates if c.thread.series == "BA")

    assert share({"BA": 5.0}) >= share({}) - 1e-9


def test_told_probabilities_come_true() -> None:
    """600 simulated screws of verified threads: what is told for the first is how often it is right, within 5 %."""
    draw = random.Random(4)
    told, right = 0.0, 0
    for _ in range(600):
        true = draw.choice(VERIFIED)
        found = identify(simulated(true, draw), VERIFIED, none=0.001)
        told += found.candidates[0].probability
        right += found.candidates[0].thread.name == true.name
    assert 0.4 < right / 600 < 0.99
    assert told / 600 == pytest.approx(right / 600, abs=0.05)


def simulated(true: Thread, draw: random.Random) -> Reading:
    low, high = size_band(true)
    error, pitch_error = 0.04e-3, 0.015e-3
    diameter = draw.uniform(low, high) + draw.gauss(0, error / SIGMAS)
    return Reading(diameter, error, true.pitch + draw.gauss(0, pitch_error / SIGMAS), pitch_error)


@pytest.mark.parametrize(
    ("values", "told"),
    [
        ((-0.004, 1e-5, 7e-4, 1e-5), "measured diameter -4 mm is outside"),
        ((0.004, -1e-5, 7e-4, 1e-5), "error of the diameter"),
        ((0.004, 1e-5, 0.7, 1e-5), "measured pitch 700 mm is outside"),
        ((0.004, 1e-5, 7e-4, 0.0), "error of the pitch 0 mm is outside"),
    ],
)
def test_readings_that_cannot_be_are_refused(values: tuple[float, float, float, float], told: str) -> None:
    with pytest.raises(OutOfRange) as caught:
        Reading(*values)
    assert told in str(caught.value)


def test_a_weight_for_a_series_that_is_not_there() -> None:
    with pytest.raises(NoSuchThread, match="no series 'bsw' to weigh; there are BA, BSF, BSW"):
        identify(reading(4, 0.7), all_threads(), {"bsw": 2.0})


def test_the_fewest_that_hold_a_share() -> None:
    found = identify(reading(3.15, 0.635), all_threads())
    few = found.within(0.5)
    assert sum(c.probability for c in few) >= 0.5
    assert sum(c.probability for c in few[:-1]) < 0.5
