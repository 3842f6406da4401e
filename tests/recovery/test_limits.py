"""Intervals of the limits of agreement hold the truth as often as they say, with clusters and without."""

import numpy as np
import pytest
from scipy.stats import nct

from nares.measure.agreement.limits import WITHIN_95, limits_of_agreement

TRIALS = 400


def coverage(
    seed: int, sessions: int, events: int, between: float, within: float
) -> tuple[float, float, float]:
    chance = np.random.default_rng(seed)
    truth = 0.01, 0.01 + WITHIN_95 * np.hypot(between, within), 0.01 - WITHIN_95 * np.hypot(between, within)
    held = np.zeros(3)
    clusters = list(np.repeat(range(sessions), events)) if events > 1 else None
    for _ in range(TRIALS):
        off = np.repeat(chance.normal(0, between, sessions), events)
        differences = 0.01 + off + chance.normal(0, within, sessions * events)
        found = limits_of_agreement(
            np.zeros(differences.size), differences, confidence=0.95, clusters=clusters
        )
        for place, one in enumerate((found.bias, found.upper, found.lower)):
            assert one.low is not None
            assert one.high is not None
            held[place] += one.low <= truth[place] <= one.high
    bias, upper, lower = held / TRIALS
    return float(bias), float(upper), float(lower)


@pytest.mark.parametrize(
    ("seed", "sessions", "events", "between", "within"),
    [(10_101, 12, 1, 0.0, 0.02), (10_102, 8, 6, 0.02, 0.02), (10_103, 6, 10, 0.005, 0.02)],
)
def test_nineteen_in_twenty_intervals_hold_the_truth(
    seed: int, sessions: int, events: int, between: float, within: float
) -> None:
    # 400 trials: 95 % has a standard error of 1.1 %.
    assert min(coverage(seed, sessions, events, between, within)) > 0.915


def test_leaving_the_clusters_out_would_promise_too_much() -> None:
    chance = np.random.default_rng(10_104)
    held = 0
    for _ in range(200):
        differences = np.repeat(chance.normal(0, 0.03, 8), 10) + chance.normal(0, 0.01, 80)
        found = limits_of_agreement(np.zeros(80), differences, confidence=0.95)
        held += bool(
            found.bias.low is not None and found.bias.high and found.bias.low <= 0 <= found.bias.high
        )
    assert held / 200 < 0.75


@pytest.mark.parametrize("n", [10, 17, 60])
def test_without_clusters_a_limit_has_nearly_the_exact_interval(n: int) -> None:
    chance = np.random.default_rng(10_105)
    differences = chance.normal(0.0, 1.0, n)
    found = limits_of_agreement(np.zeros(n), differences, confidence=0.95)
    exact = [
        differences.mean()
        + nct.ppf(share, n - 1, WITHIN_95 * np.sqrt(n)) * differences.std(ddof=1) / np.sqrt(n)
        for share in (0.025, 0.975)
    ]
    assert found.upper.low is not None
    assert found.upper.high is not None
    width = exact[1] - exact[0]
    assert abs(found.upper.low - exact[0]) < 0.09 * width
    assert abs(found.upper.high - exact[1]) < 0.09 * width


def test_the_spread_of_a_single_difference_is_that_between_and_within_sessions() -> None:
    chance = np.random.default_rng(10_106)
    clusters = list(np.repeat(range(30), 2))
    squares = []
    for _ in range(200):
        differences = np.repeat(chance.normal(0, 0.01, 30), 2) + chance.normal(0, 0.02, 60)
        found = limits_of_agreement(np.zeros(60), differences, confidence=0.95, clusters=clusters)
        squares.append(found.sd**2)
    assert np.mean(squares) == pytest.approx(0.01**2 + 0.02**2, rel=0.05)
