"""The interval of a share holds the truth also where few sessions differ; a plain one would not."""

import numpy as np
import pytest

from nares.base.interval import session_spread, wilson_interval


def coverage(sessions: int, alike: float, rate: float, dogs: int, seed: int) -> tuple[float, float]:
    """Share of 95 % intervals that hold the truth: taking reps as independent, and as they are counted."""
    chance = np.random.default_rng(seed)
    size = (1 - alike) / alike
    plain = counted = 0
    for _ in range(dogs):
        rates = chance.beta(rate * size, (1 - rate) * size, sessions)
        met = (chance.random((sessions, 10)) < rates[:, None]).ravel().tolist()
        spread = session_spread(met, np.repeat(range(sessions), 10).tolist())
        share = sum(met) / len(met)
        low, high = wilson_interval(share, len(met), confidence=0.95)
        plain += low <= rate <= high
        low, high = wilson_interval(share, spread.effective_reps, confidence=0.95)
        counted += low <= rate <= high
    return plain / dogs, counted / dogs


@pytest.mark.parametrize(("sessions", "alike"), [(5, 0.1), (8, 0.1), (20, 0.2)])
def test_intervals_over_sessions_that_differ_hold_the_truth(sessions: int, alike: float) -> None:
    plain, counted = coverage(sessions, alike, 0.6, 500, 10_600 + sessions)
    assert plain < 0.88
    assert counted > 0.93


def test_sessions_alike_do_not_pay_much() -> None:
    chance = np.random.default_rng(10_650)
    worth = []
    for _ in range(200):
        met = (chance.random(200) < 0.7).tolist()
        worth.append(session_spread(met, np.repeat(range(20), 10).tolist()).effective_reps)
    assert np.median(worth) > 160
