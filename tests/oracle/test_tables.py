"""Exact tests and intervals against scipy, statsmodels, and plain listing of every table."""

from itertools import product
from math import comb

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from nares.base.interval import newcombe_interval, wilson_interval
from nares.design.scoring.multinomial import fit_test
from nares.design.scoring.rates import exact_interval
from nares.design.scoring.two_rates import fisher_two_sided, table_test

PAIRS = [((8, 10), (1, 6)), ((0, 16), (15, 72)), ((3, 3), (0, 9)), ((12, 20), (18, 20)), ((5, 5), (5, 5))]


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_fisher_is_scipys(first: tuple[int, int], second: tuple[int, int]) -> None:
    table = np.array([[first[0], first[1] - first[0]], [second[0], second[1] - second[0]]])
    assert fisher_two_sided(first, second) == pytest.approx(stats.fisher_exact(table).pvalue, abs=1e-9)


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_newcombe_is_statsmodels(first: tuple[int, int], second: tuple[int, int]) -> None:
    low, high = confint_proportions_2indep(*first, *second, method="newcomb", compare="diff")
    assert newcombe_interval(first, second, confidence=0.95) == pytest.approx((low, high), abs=1e-9)


@pytest.mark.parametrize(("k", "n"), [(0, 20), (1, 29), (9, 10), (20, 20), (81, 263)])
def test_both_intervals_of_one_share_are_statsmodels(k: int, n: int) -> None:
    exact = proportion_confint(k, n, method="beta")
    score = proportion_confint(k, n, method="wilson")
    assert exact_interval(k / n, n, confidence=0.95) == pytest.approx(exact, abs=1e-9)
    assert wilson_interval(k / n, n, confidence=0.95) == pytest.approx(score, abs=1e-9)


@pytest.mark.parametrize(
    ("hits", "trials"),
    [([3, 0, 4], [4, 4, 4]), ([1, 5, 2, 0], [3, 6, 2, 4]), ([2, 2], [2, 5]), ([0, 0, 0], [3, 2, 1])],
)
def test_freeman_halton_lists_every_table(hits: list[int], trials: list[int]) -> None:
    def weight(table: tuple[int, ...]) -> int:
        return int(np.prod([comb(n, k) for n, k in zip(trials, table, strict=True)]))

    tables = [one for one in product(*(range(n + 1) for n in trials)) if sum(one) == sum(hits)]
    seen = weight(tuple(hits))
    expected = sum(w for w in map(weight, tables) if w <= seen) / sum(map(weight, tables))
    assert table_test(hits, trials).p_exact == pytest.approx(expected, abs=1e-12)


def test_a_large_table_is_simulated_within_its_stated_error() -> None:
    hits, trials = [30, 22, 40, 35, 28, 39, 31, 25, 27], [41, 37, 53, 47, 43, 59, 61, 29, 31]
    found = table_test(hits, trials)
    assert found.how == "100 000 simulated"
    assert found.error is not None
    table = np.array([hits, np.subtract(trials, hits)]).T
    large = stats.chi2_contingency(table, correction=False).pvalue
    assert found.p_exact == pytest.approx(large, abs=0.02)  # large samples: the chi-square law is near


def every_outcome(choices: list[list[float]]) -> dict[tuple[int, ...], float]:
    """Every count by place with its chance, by listing every sequence of choices."""
    chances: dict[tuple[int, ...], float] = {}
    for places in product(range(len(choices[0])), repeat=len(choices)):
        counts = tuple(places.count(place) for place in range(len(choices[0])))
        chance = float(np.prod([row[place] for row, place in zip(choices, places, strict=True)]))
        chances[counts] = chances.get(counts, 0.0) + chance
    return chances


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_choices_with_their_own_shares_are_counted_out(seed: int) -> None:
    draws = np.random.default_rng(seed)
    choices = []
    for _ in range(6):
        free = draws.permutation(4) < 3  # one place of four is taken each time
        choices.append([float(one) / 3 for one in free])
    counts = [0, 0, 0, 0]
    for row in choices:
        counts[int(draws.choice(4, p=row))] += 1
    expected = np.sum(choices, axis=0)

    def square(outcome: tuple[int, ...]) -> float:
        return float(sum((o - e) ** 2 / e for o, e in zip(outcome, expected, strict=True) if e > 0))

    seen = square(tuple(counts))
    chance = sum(c for outcome, c in every_outcome(choices).items() if c and square(outcome) >= seen - 1e-9)
    found = fit_test(counts, choices)
    assert found.how == "counted out"
    assert found.chi_square == pytest.approx(seen)
    assert found.p_exact == pytest.approx(chance, abs=1e-12)


@pytest.mark.parametrize(
    ("counts", "square", "exact"),
    [((12, 5, 4, 5, 4), 7.667, 0.113), ((8, 3, 3, 3, 3), 5.0, 0.311)],
)
def test_one_die_gives_what_listing_gives(counts: tuple[int, ...], square: float, exact: float) -> None:
    found = fit_test(counts, [[0.2] * 5] * sum(counts))
    assert found.chi_square == pytest.approx(square, abs=0.0005)
    assert found.p_exact == pytest.approx(exact, abs=0.0005)


def test_two_places_are_the_binomial_test() -> None:
    found = fit_test((21, 9), [[0.5, 0.5]] * 30)
    assert found.p_exact == pytest.approx(stats.binomtest(21, 30, 0.5).pvalue, abs=1e-9)
