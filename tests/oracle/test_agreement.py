"""Kappa against statsmodels, the intraclass correlation against a mixed layout by hand, Rayleigh against
simulation.
"""

import mir_eval
import numpy as np
import pytest
from statsmodels.stats.inter_rater import cohens_kappa as their_kappa

from nares.measure.agreement.compare import compare
from nares.measure.agreement.intraclass import intraclass
from nares.measure.agreement.kappa import cohens_kappa
from nares.measure.agreement.sheets import Sheet, TwoSheets
from nares.measure.marking.circular import mean_direction, rayleigh_chance
from nares.measure.marking.quantiles import median_interval


@pytest.mark.parametrize("seed", range(10_200, 10_212))
def test_kappa_its_error_and_interval_are_those_of_statsmodels(seed: int) -> None:
    chance = np.random.default_rng(seed)
    kinds, n = int(chance.integers(2, 5)), int(chance.integers(15, 300))
    first = chance.integers(0, kinds, n)
    second = np.where(chance.random(n) < 0.6, first, chance.integers(0, kinds, n))
    table = np.zeros((kinds, kinds))
    np.add.at(table, (first, second), 1)
    theirs = their_kappa(table)
    ours = cohens_kappa(first, second, kinds=kinds, confidence=0.95)
    assert ours.value == pytest.approx(theirs.kappa)
    assert ours.se == pytest.approx(theirs.std_kappa)
    assert (ours.low, ours.high) == pytest.approx((theirs.kappa_low, theirs.kappa_upp))


@pytest.mark.parametrize("seed", range(10_280, 10_290))
def test_f1_within_a_window_is_that_of_the_library_for_heard_events(seed: int) -> None:
    chance = np.random.default_rng(seed)
    first = np.sort(chance.uniform(0, 30, 15))
    second = np.sort(np.append(first[:12] + chance.normal(0, 0.03, 12), chance.uniform(0, 30, 4)))
    both = TwoSheets("s", Sheet("a", tuple(first), (), (), ()), Sheet("b", tuple(second), (), (), ()), 30.0)
    mark = compare([both], confidence=0.95).events[0]
    for within in mark.within:
        theirs = mir_eval.onset.f_measure(first, second, window=within.window_s)[0]
        assert within.f1 == pytest.approx(theirs)
        assert within.low is not None
        assert within.low < within.f1


def test_frames_in_runs_have_the_error_a_block_by_block_deletion_finds() -> None:
    chance = np.random.default_rng(10_220)
    blocks, size = 40, 25
    first = np.repeat(chance.random(blocks) < 0.5, size)
    second = np.where(np.repeat(chance.random(blocks) < 0.15, size), ~first, first)
    clusters = np.repeat(range(blocks), size)
    ours = cohens_kappa(first, second, kinds=2, confidence=0.95, clusters=list(clusters))
    without = []
    for block in range(blocks):
        kept = clusters != block
        table = np.zeros((2, 2))
        np.add.at(table, (first[kept].astype(int), second[kept].astype(int)), 1)
        without.append(their_kappa(table).kappa)
    jack = np.sqrt((blocks - 1) / blocks * np.sum((np.array(without) - np.mean(without)) ** 2))
    assert ours.se == pytest.approx(jack, rel=0.1)
    alone = cohens_kappa(first, second, kinds=2, confidence=0.95)
    assert ours.se is not None
    assert alone.se is not None
    assert ours.se > 3 * alone.se


def test_the_intraclass_correlation_recovers_the_share_of_variance_that_is_real() -> None:
    chance = np.random.default_rng(10_230)
    reps, inside, found = 400, 0, []
    for _ in range(60):
        targets = chance.normal(0, 3, (reps, 1))
        table = targets + chance.normal(0, 1, (reps, 2))
        single = intraclass(table, confidence=0.95)["ICC(2,1)"]
        assert single.value is not None
        assert single.low is not None
        assert single.high is not None
        found.append(single.value)
        inside += single.low <= 0.9 <= single.high
    assert np.mean(found) == pytest.approx(0.9, abs=0.005)
    assert inside >= 52


@pytest.mark.parametrize(("n", "share"), [(8, 0.5), (8, 0.75), (20, 0.3), (20, 0.5)])
def test_rayleighs_chance_is_that_of_steps_in_random_directions(n: int, share: float) -> None:
    chance = np.random.default_rng(10_240)
    angles = chance.uniform(0, 2 * np.pi, (40_000, n))
    lengths = np.hypot(np.cos(angles).sum(axis=1), np.sin(angles).sum(axis=1))
    assert rayleigh_chance(n, share * n) == pytest.approx(float(np.mean(lengths >= share * n)), abs=0.008)


def test_the_interval_of_the_mean_direction_holds_it() -> None:
    chance = np.random.default_rng(10_250)
    held = 0
    for _ in range(400):
        found = mean_direction(0.9 + chance.vonmises(0, 1.5, 25) / (2 * np.pi), confidence=0.95)
        assert found.low is not None
        assert found.high is not None
        width = (found.high - found.low) % 1
        held += (0.9 - found.low) % 1 <= width
    assert held / 400 > 0.92


def test_sessions_that_each_favour_another_part_deceive_rayleigh_but_not_the_count_of_sessions() -> None:
    chance = np.random.default_rng(10_260)
    by_marks = by_sessions = 0
    for _ in range(300):
        centres = chance.random(8)
        phases = (np.repeat(centres, 12) + chance.normal(0, 0.06, 96)) % 1
        found = mean_direction(phases, confidence=0.95, sessions=list(np.repeat(range(8), 12)))
        assert found.by_chance_sessions is not None
        by_marks += found.by_chance < 0.05
        by_sessions += found.by_chance_sessions < 0.05
    assert by_marks / 300 > 0.5
    assert by_sessions / 300 < 0.10


@pytest.mark.parametrize(("sessions", "between"), [(30, 0.0), (10, 0.1)])
def test_the_interval_of_a_median_holds_it_also_when_sessions_differ(sessions: int, between: float) -> None:
    chance = np.random.default_rng(10_270)
    held, each = 0, 30 // sessions if between == 0 else 8
    for _ in range(400):
        values = np.repeat(chance.normal(0, between, sessions), each) + chance.normal(0, 0.1, sessions * each)
        names = list(np.repeat(range(sessions), each)) if between else None
        found = median_interval(list(values), confidence=0.95, sessions=names)
        held += found.low is None or (found.high is not None and found.low <= 0 <= found.high)
    assert held / 400 > 0.92
