"""Known dogs come back: d' and bar, with intervals that hold the truth as often as they say."""

import numpy as np
import pytest
from scipy.stats import binom
from tests.recovery.lineup_dogs import dog_runs

from nares.base.interval import wilson_interval
from nares.design.scoring.answers import answers_of
from nares.design.scoring.forced_choice import chance_right, forced_choice
from nares.design.scoring.max_rule import Group, chances, fit_max_rule
from nares.design.scoring.rates import exact_interval
from nares.design.scoring.sensitivity import groups_of, sensitivity_of
from nares.design.scoring.yes_no import yes_no

DOGS = 150


@pytest.mark.parametrize(("d_prime", "bar"), [(2.0, 2.0), (1.0, 1.2)])
def test_max_rule_intervals_hold_the_truth(d_prime: float, bar: float) -> None:
    draws = np.random.default_rng(99)
    held = np.zeros(2)
    best = []
    for _ in range(DOGS):
        target = draws.multinomial(60, chances(d_prime, bar, places=6, targets=1))
        blank = draws.multinomial(20, chances(d_prime, bar, places=6, targets=0))
        found = fit_max_rule(
            [Group(6, 1, *(int(k) for k in target)), Group(6, 0, *(int(k) for k in blank))], confidence=0.95
        )
        assert found.d_low is not None
        assert found.c_low is not None
        held += (
            found.d_low <= d_prime <= (found.d_high or np.inf),
            found.c_low <= bar <= (found.c_high or np.inf),
        )
        best.append((found.d_prime, found.criterion_c))
    # 95 % of 150, four standard errors of chance below
    assert (held / DOGS >= 0.95 - 4 * 0.0178).all()
    assert np.median(np.array(best, dtype=float), axis=0) == pytest.approx((d_prime, bar), abs=0.1)


def test_yes_no_intervals_hold_the_truth() -> None:
    draws = np.random.default_rng(98)
    from scipy.stats import norm

    d_prime, held = 2.0, 0
    for _ in range(2000):
        hits = int(draws.binomial(40, norm.cdf(0.8)))
        false = int(draws.binomial(120, norm.cdf(0.8 - d_prime)))
        found = yes_no(hits, 40, false, 120, confidence=0.95)
        held += found.d_low <= d_prime <= found.d_high
    assert held / 2000 >= 0.94


@pytest.mark.parametrize("d_prime", [0.8, 2.0])
def test_forced_choice_intervals_hold_the_truth(d_prime: float) -> None:
    """Summed over every outcome, so without chance: likelihood root near 95 %, exact never below."""
    runs, places = 30, 6
    share = chance_right(d_prime, places)
    root = exact = 0.0
    for right in range(runs + 1):
        found = forced_choice(right, runs, places, confidence=0.95)
        weight = float(binom.pmf(right, runs, share))
        root += weight * (found.d_low <= d_prime <= (found.d_high or np.inf))
        exact += weight * (found.exact_low <= d_prime <= (found.exact_high or np.inf))
    assert root >= 0.92
    assert exact >= 0.95


@pytest.mark.parametrize("trials", [12, 20, 40])
def test_the_exact_interval_never_covers_less_than_it_says(trials: int) -> None:
    counts = np.arange(trials + 1)
    exact = np.array([exact_interval(k / trials, trials, confidence=0.95) for k in counts])
    score = np.array([wilson_interval(k / trials, trials, confidence=0.95) for k in counts])
    covered = []
    for rate in np.linspace(0.01, 0.99, 99):
        weight = binom.pmf(counts, trials, rate)
        assert weight[(exact[:, 0] <= rate) & (rate <= exact[:, 1])].sum() >= 0.95
        covered.append(weight[(score[:, 0] <= rate) & (rate <= score[:, 1])].sum())
    assert np.mean(covered) == pytest.approx(0.95, abs=0.015)


def test_a_dog_at_a_line_up_comes_back() -> None:
    runs = dog_runs(np.random.default_rng(3), runs=800, places=6, d_prime=2.2, criterion=1.7)
    found = sensitivity_of(answers_of(runs, "call"), confidence=0.95)
    assert found.model == "max-rule"
    assert (found.d_prime, found.criterion_c) == pytest.approx((2.2, 1.7), abs=0.2)
    assert {(group.places, group.targets) for group in groups_of(answers_of(runs, "call"))} == {
        (6, 0),
        (6, 1),
    }
