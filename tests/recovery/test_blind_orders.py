"""100,000 blind orders, drawn as for a line-up, are uniform; and what that test could have missed.

Eight runs, five positions, at most one target, a quarter of the runs blank. Counts are held against what
they should be by chi-square at one in a thousand: outcomes (in all runs, and in each run by itself), pairs of
successive outcomes, blank runs of an order, and whole halves of an order (every one of 1,296 successions of
four runs). The seed is fixed, so the test says the same each time; it was the first one tried, and a fair
drawing had one chance in 75 or so of failing somewhere.

How much it could miss is reckoned (noncentral chi-square) and tried. A position that comes in 16 runs of
100 in place of 15, at the cost of the others, is found for certain; in 15.23, in 95 of 100 cases; one that
comes a hundredth of its share too often, in 15.15, in 43 of 100 only.
"""

from collections.abc import Iterator

import numpy as np
import pytest
from scipy.stats import binom, chi2, chisquare, ncx2

from nares.design.chance import Stream, subseed
from nares.design.orders import independent_runs

ORDERS, RUNS, POSITIONS, BLANK = 100_000, 8, 5, 0.25
LEVEL = 0.001
SHARES = np.array([BLANK] + [(1 - BLANK) / POSITIONS] * POSITIONS)
SEED = bytes.fromhex("5a171b4a5a17c5e5" * 4)

Outcomes = np.ndarray[tuple[int, int], np.dtype[np.int64]]


@pytest.fixture(scope="module")
def drawn() -> Outcomes:
    """One row an order, one column a run: 0 blank, else the position of the target."""
    return np.array([[run[0] if run else 0 for run in order] for order in orders()], dtype=np.int64)


def orders() -> Iterator[tuple[tuple[int, ...], ...]]:
    stream = Stream(subseed(SEED, "blind orders"))
    for _ in range(ORDERS):
        yield independent_runs(
            runs=RUNS,
            positions=POSITIONS,
            targets_low=0,
            targets_high=1,
            blank_runs=BLANK,
            stream=stream,
        )


def luck_of_outcomes(drawn: Outcomes) -> float:
    seen = np.bincount(drawn.ravel(), minlength=POSITIONS + 1)
    return float(chisquare(seen, SHARES * drawn.size).pvalue)


def luck_of_successions(drawn: Outcomes, length: int) -> float:
    """Successions of so many runs that do not overlap, so that each is drawn by itself."""
    kinds = (POSITIONS + 1) ** length
    parts = drawn[:, : RUNS // length * length].reshape(-1, length)
    codes = parts @ (POSITIONS + 1) ** np.arange(length)
    shares = SHARES
    for _ in range(length - 1):
        shares = np.outer(SHARES, shares).ravel()
    return float(chisquare(np.bincount(codes, minlength=kinds), shares * len(parts)).pvalue)


def luck_of_blanks(drawn: Outcomes) -> float:
    seen = np.bincount((drawn == 0).sum(axis=1), minlength=RUNS + 1)
    expected = binom.pmf(np.arange(RUNS + 1), RUNS, BLANK) * len(drawn)
    return float(chisquare(seen, expected).pvalue)


def test_positions_and_blank_runs_come_as_often_as_they_should(drawn: Outcomes) -> None:
    assert drawn.shape == (ORDERS, RUNS)
    assert luck_of_outcomes(drawn) > LEVEL


def test_what_follows_what_is_left_to_chance(drawn: Outcomes) -> None:
    assert luck_of_successions(drawn, 2) > LEVEL
    assert luck_of_successions(np.roll(drawn, 1, axis=1)[:, 2:], 2) > LEVEL


def test_the_number_of_blank_runs_is_binomial(drawn: Outcomes) -> None:
    assert luck_of_blanks(drawn) > LEVEL


def test_every_half_of_an_order_is_as_likely(drawn: Outcomes) -> None:
    assert luck_of_successions(drawn, 4) > LEVEL


def test_every_column_by_itself_is_as_it_should_be(drawn: Outcomes) -> None:
    for run in range(RUNS):
        assert luck_of_outcomes(drawn[:, [run]]) > LEVEL


def power(excess: float) -> float:
    """The chance that the count of outcomes finds a position drawn with share 0.15 + excess."""
    others = np.full(POSITIONS, -excess / (POSITIONS - 1))
    others[0] = excess
    away = ORDERS * RUNS * float((others**2 / SHARES[1:]).sum())
    return float(ncx2.sf(chi2.isf(LEVEL, POSITIONS), POSITIONS, away))


def test_its_power_is_as_stated() -> None:
    assert power(0.01) > 0.9999
    assert power(0.0023) == pytest.approx(0.96, abs=0.01)
    assert power(0.0015) == pytest.approx(0.43, abs=0.005)
    assert power(0.0) == pytest.approx(LEVEL)


@pytest.mark.parametrize("excess", [0.01, 0.003])
def test_a_favoured_position_is_found(drawn: Outcomes, excess: float) -> None:
    """Position 1 in place of another in so many runs that its share grows by the excess."""
    lots = np.random.default_rng(1).random(drawn.shape)
    favoured = np.where((drawn > 1) & (lots < excess / (1 - BLANK - SHARES[1])), 1, drawn)
    assert luck_of_outcomes(favoured) < LEVEL


def test_a_position_avoided_after_itself_is_found(drawn: Outcomes) -> None:
    """One in twenty repeats moved on to the next position: shares stay, successions do not."""
    lots = np.random.default_rng(2).random(drawn.shape)
    moved = drawn.copy()
    repeats = (drawn[:, 1:] == drawn[:, :-1]) & (drawn[:, 1:] > 0) & (lots[:, 1:] < 0.05)
    moved[:, 1:] = np.where(repeats, drawn[:, 1:] % POSITIONS + 1, drawn[:, 1:])
    assert luck_of_outcomes(moved) > LEVEL
    assert luck_of_successions(moved, 2) < LEVEL


def test_blank_runs_held_to_two_are_found(drawn: Outcomes) -> None:
    """A drawer who evens out the number of blank runs, once in ten orders."""
    evened = drawn.copy()
    evened[::10] = np.where(drawn[::10] == 0, 1, drawn[::10])
    evened[::10, 3] = evened[::10, 6] = 0
    assert luck_of_blanks(evened) < LEVEL
