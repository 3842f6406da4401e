"""How alike the reps of a session are, another way: a library's law on a grid, a library's F ratio.

The litters of Weil 1970 were read as data; the figures typed here were computed once by separate code.
"""

import numpy as np
import pytest
from scipy.stats import betabinom

from nares.decide.progress.clusters import alike_by_variance, beta_binomial, sessions_alike

CONTROL = "13/13 12/12 9/9 9/9 8/8 8/8 12/13 11/12 9/10 9/10 8/9 11/13 4/5 5/7 7/10 7/10"
TREATED = "12/12 11/11 10/10 9/9 10/11 9/10 9/10 8/9 8/9 4/5 7/9 4/7 5/10 3/6 3/10 0/7"


def litters(text: str) -> tuple[list[int], list[int]]:
    pairs = [tuple(map(int, one.split("/"))) for one in text.split()]
    return [met for met, _ in pairs], [tried for _, tried in pairs]


@pytest.mark.parametrize(
    ("text", "rate", "alike", "likelihood", "binomial", "by_variance"),
    [
        (CONTROL, 0.8980, 0.0202, -21.2535, -21.3633, 0.0291),
        (TREATED, 0.7400, 0.3174, -31.5317, -44.3113, 0.3721),
    ],
)
def test_the_litters_of_weil(
    text: str, rate: float, alike: float, likelihood: float, binomial: float, by_variance: float
) -> None:
    met, tried = litters(text)
    found = beta_binomial(met, tried)
    assert (found.rate, found.alike) == pytest.approx((rate, alike), abs=0.00006)
    assert alike_by_variance(met, tried) == pytest.approx(by_variance, abs=0.00006)
    whole = likelihood_of(met, tried, found.rate, found.alike)
    assert whole == pytest.approx(likelihood, abs=0.00006)
    assert found.log_binomial - found.log_likelihood == pytest.approx(binomial - likelihood, abs=0.0002)


def likelihood_of(met: list[int], tried: list[int], rate: float, alike: float) -> float:
    size = (1 - alike) / alike
    return float(np.sum(betabinom.logpmf(met, tried, rate * size, (1 - rate) * size)))


@pytest.mark.parametrize("text", [CONTROL, TREATED])
def test_no_point_of_a_grid_is_likelier_and_the_interval_is_where_the_grid_falls_off(text: str) -> None:
    met, tried = litters(text)
    found = beta_binomial(met, tried)
    alikes = np.linspace(0.002, 0.8, 400)
    rates = np.linspace(0.4, 0.98, 117)
    profile = np.array([max(likelihood_of(met, tried, r, a) for r in rates) for a in alikes[::10]])
    best = likelihood_of(met, tried, found.rate, found.alike)
    assert profile.max() <= best + 1e-9
    inside = alikes[::10][profile > best - 1.9207]
    assert found.low <= inside.min() <= found.low + 0.021
    assert found.high - 0.021 <= inside.max() <= found.high


def test_the_analysis_of_variance_is_that_of_a_library() -> None:
    from scipy.stats import f_oneway

    met, tried = litters(TREATED)
    groups = [[1.0] * y + [0.0] * (n - y) for y, n in zip(met, tried, strict=True)]
    ratio = f_oneway(*groups).statistic
    usual = (sum(tried) - sum(n * n for n in tried) / sum(tried)) / (len(tried) - 1)
    assert alike_by_variance(met, tried) == pytest.approx((ratio - 1) / (ratio + usual - 1), rel=1e-9)


def test_five_sessions_that_differ_cost_two_thirds_of_their_reps() -> None:
    found = sessions_alike([20, 19, 14, 20, 17], [20] * 5)
    assert found.alike == pytest.approx(0.131, abs=0.001)
    assert found.effective_reps == pytest.approx(28.6, abs=0.1)
    assert found.design_effect == pytest.approx(100 / 28.6, abs=0.02)


@pytest.mark.parametrize(
    ("met", "tried", "says"),
    [
        ([], [], "0 sessions"),
        ([9, 8, 10, 7], [10] * 4, "4 sessions: how much .* fewer than 5"),
        ([10] * 6, [10] * 6, "No rep was missed"),
        ([0] * 6, [10] * 6, "Every rep was missed"),
        ([1, 0, 1, 1, 0], [1] * 5, "One rep a session"),
    ],
)
def test_what_cannot_be_estimated_is_said(met: list[int], tried: list[int], says: str) -> None:
    found = sessions_alike(met, tried)
    assert found.alike is None
    assert found.effective_reps is None
    with pytest.raises(AssertionError, match=says):
        raise AssertionError(found.why_none)
