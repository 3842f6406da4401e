"""Simulated dogs: who learned, who did not, who fell back, and what a night costs, told as it was."""

from collections.abc import Sequence

import numpy as np
import pytest
from tests.decide.courses import BOX, days

from nares.decide.progress import progress_of
from nares.decide.progress.change_points import change_points
from nares.decide.progress.clusters import sessions_alike
from nares.decide.progress.cold import cold_start
from nares.decide.progress.curve import learning_curve
from nares.decide.progress.relapse import relapse_watch, run_sum


def drawn(chance: np.random.Generator, rates: Sequence[float]) -> list[int]:
    return [int(one) for one in chance.random(len(rates)) < np.array(rates)]


@pytest.mark.parametrize("reps", [20, 80])
def test_a_dog_that_stays_at_the_level_is_seldom_said_to_have_learned(reps: int) -> None:
    chance = np.random.default_rng(10_700 + reps)
    said = [learning_curve(drawn(chance, [0.6] * reps), level=0.6).learned_at for _ in range(100)]
    assert sum(one is not None for one in said) <= 6


def test_a_dog_that_learns_is_found_soon_after_it_did() -> None:
    """From 30 % to 95 % after rep 30 of 90."""
    chance = np.random.default_rng(10_710)
    said = [learning_curve(drawn(chance, [0.3] * 30 + [0.95] * 60), level=0.6).learned_at for _ in range(60)]
    found = [one for one in said if one is not None]
    assert len(found) >= 48
    assert 26 <= np.median(found) <= 40
    assert sum(one <= 24 for one in found) == 0


def test_the_band_of_a_slow_learner_holds_its_rate() -> None:
    rates = 1 / (1 + np.exp(-np.linspace(-0.6, 2.2, 100)))
    chance = np.random.default_rng(10_720)
    held = []
    for _ in range(60):
        band = learning_curve(drawn(chance, rates.tolist()), level=0.6).looking_back
        held.append(np.mean((np.array(band.low) <= rates) & (rates <= np.array(band.high))))
    assert np.mean(held) > 0.85


def test_a_jump_is_found_where_it_was_and_a_steady_dog_has_none() -> None:
    chance = np.random.default_rng(10_730)
    jumps = [change_points(drawn(chance, [0.3] * 40 + [0.92] * 40)) for _ in range(60)]
    assert sum(len(found) == 1 and abs(found[0].after - 40) <= 5 for found in jumps) >= 48
    steady = [change_points(drawn(chance, [0.85] * 150)) for _ in range(60)]
    assert sum(bool(found) for found in steady) <= 3


def test_alarms_come_as_often_as_is_said() -> None:
    watch = relapse_watch(good=0.85, bad=0.6)
    chance = np.random.default_rng(10_740)
    for rate, expected in ((0.85, watch.false_alarm_reps), (0.6, watch.notice_reps)):
        runs = []
        for _ in range(400):
            alarm = run_sum(drawn(chance, [rate] * 4000), watch).alarm
            runs.append(alarm.at if alarm else 4000)
        assert np.mean(runs) == pytest.approx(expected, abs=4 * float(np.std(runs)) / 20)


def test_a_dog_that_fell_back_is_named_with_about_the_right_rep() -> None:
    chance = np.random.default_rng(10_750)
    since = []
    for _ in range(40):
        first = [drawn(chance, [0.9] * 10) for _ in range(3)]
        later = [drawn(chance, [0.95] * 10) for _ in range(3)] + [drawn(chance, [0.5] * 10) for _ in range(3)]
        course = [*days(0, first), *days(3, [[1] * 8], step=2), *days(4, later), *days(10, [[1] * 8], step=2)]
        step = progress_of(course, dog="Sedge", programme=BOX).mastered[0]
        if step.standing == "relapse" and step.since is not None:
            since.append(step.since.rep)
    assert len(since) >= 36
    assert 29 <= np.median(since) <= 36


@pytest.mark.parametrize("loss", [0.0, 0.25])
def test_the_loss_of_cold_reps_is_held_by_its_interval(loss: float) -> None:
    chance = np.random.default_rng(10_760 + int(100 * loss))
    held, told = 0, 0
    for _ in range(300):
        shift = chance.normal(0, 0.05, 8)
        sessions = [drawn(chance, [0.8 - loss + s] * 3 + [0.8 + s] * 9) for s in shift]
        found = cold_start(sessions).within
        assert found.low is not None
        assert found.high is not None
        held += found.low <= -loss <= found.high
        told += found.high < 0
    assert held / 300 > 0.93
    assert told / 300 < 0.06 if loss == 0 else told / 300 > 0.25


def test_how_alike_sessions_are_is_got_back() -> None:
    chance = np.random.default_rng(10_770)
    found = []
    for _ in range(30):
        rates = chance.beta(0.8 * 4, 0.2 * 4, 40)
        alike = sessions_alike(chance.binomial(12, rates).tolist(), [12] * 40)
        assert alike.alike is not None
        assert alike.low is not None
        assert alike.high is not None
        found.append((alike.alike, alike.low <= 0.2 <= alike.high))
    assert np.mean([one for one, _ in found]) == pytest.approx(0.2, abs=0.03)
    assert sum(held for _, held in found) >= 26
