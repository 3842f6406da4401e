"""Hold times against lifelines and scipy: Kaplan-Meier with its limits, and the shapes under censoring."""

import numpy as np
import pytest
from lifelines import (
    ExponentialFitter,
    GeneralizedGammaFitter,
    KaplanMeierFitter,
    LogNormalFitter,
    WeibullFitter,
)
from scipy import stats

from nares.decide import hold_model, kaplan_meier
from nares.decide.hold.foresight import group_scores
from nares.decide.hold.laws import law_at, log_tail, z_beyond
from nares.decide.hold.likelihood import Prior, Seen, largest, nothing_known, slopes, terms
from nares.decide.hold.shapes import Shape, fit_any_form, seen_of
from nares.decide.hold.survival import checked_holds

Holds = tuple[list[float], list[int]]

FIXED: Holds = ([5, 5, 3.2, 5, 5, 4.1, 5, 5, 2.0, 5], [0, 0, 1, 0, 0, 1, 0, 0, 1, 0])
MIXED: Holds = (
    [2, 2, 3, 3, 1.4, 4, 4, 5, 2.6, 5, 6, 3.9, 6, 7, 7, 5.2, 8, 4.4],
    [0, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 1, 0, 0, 0, 1, 0, 1],
)
SIX_MP: Holds = (
    [6, 6, 6, 6, 7, 9, 10, 10, 11, 13, 16, 17, 19, 20, 22, 23, 25, 32, 32, 34, 35],
    [1, 1, 1, 0, 1, 0, 1, 0, 0, 1, 1, 0, 0, 0, 1, 1, 0, 0, 0, 0, 0],
)
PLACEBO: Holds = ([1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23], [1] * 21)
ALL = pytest.mark.parametrize(
    "holds", [FIXED, MIXED, SIX_MP, PLACEBO], ids=["fixed", "mixed", "6-mp", "placebo"]
)


def shape(holds: Holds, name: str) -> Shape:
    return next(fit for fit in hold_model(*holds).fits if fit.name == name)


@ALL
def test_kaplan_meier_and_its_log_log_limits(holds: Holds) -> None:
    theirs = KaplanMeierFitter().fit(*holds)
    limits = theirs.confidence_interval_survival_function_
    for point in kaplan_meier(*holds):
        assert point.share == pytest.approx(float(theirs.predict(point.t_s)), abs=1e-12)
        if point.share > 0:
            low, high = limits.loc[point.t_s]
            assert (point.low, point.high) == pytest.approx((low, high), abs=1e-6)


@ALL
def test_weibull(holds: Holds) -> None:
    theirs, ours = WeibullFitter().fit(*holds), shape(holds, "weibull")
    assert np.exp(ours.place) == pytest.approx(theirs.lambda_, rel=1e-4)
    assert 1 / ours.spread == pytest.approx(theirs.rho_, rel=1e-4)
    assert ours.log_likelihood == pytest.approx(theirs.log_likelihood_, abs=1e-6)


@ALL
def test_log_normal(holds: Holds) -> None:
    theirs, ours = LogNormalFitter().fit(*holds), shape(holds, "log-normal")
    assert ours.place == pytest.approx(theirs.mu_, rel=1e-4)
    assert ours.spread == pytest.approx(theirs.sigma_, rel=1e-4)
    assert ours.log_likelihood == pytest.approx(theirs.log_likelihood_, abs=1e-6)


@ALL
def test_exponential(holds: Holds) -> None:
    theirs, ours = ExponentialFitter().fit(*holds), shape(holds, "exponential")
    assert np.exp(ours.place) == pytest.approx(theirs.lambda_, rel=1e-5)
    assert ours.log_likelihood == pytest.approx(theirs.log_likelihood_, abs=1e-6)


@pytest.mark.parametrize("holds", [MIXED, SIX_MP], ids=["mixed", "6-mp"])
def test_the_spread_of_the_log_normal_fit_is_theirs(holds: Holds) -> None:
    """Their parameters are mu and sigma; ours the place and the logarithm of the spread."""
    theirs, ours = LogNormalFitter().fit(*holds), shape(holds, "log-normal")
    errors = theirs.summary["se(coef)"]
    assert ours.covariance[0][0] ** 0.5 == pytest.approx(errors["mu_"], rel=5e-3)
    assert ours.covariance[1][1] ** 0.5 * ours.spread == pytest.approx(errors["sigma_"], rel=5e-3)


def test_weights_of_equal_size_change_nothing_and_whole_weights_act_like_copies() -> None:
    plain, doubled = hold_model(*MIXED), hold_model(*MIXED, weights=[2.0] * 18)
    assert doubled.fits[0].place == pytest.approx(plain.fits[0].place)
    times, broke = MIXED
    weighted = hold_model(times, broke, weights=[3.0] + [1.0] * 17)
    copied = hold_model([times[0]] * 2 + times, [broke[0]] * 2 + broke)
    ours = next(fit for fit in weighted.fits if fit.name == "weibull")
    theirs = next(fit for fit in copied.fits if fit.name == "weibull")
    assert (ours.place, ours.spread) == pytest.approx((theirs.place, theirs.spread), rel=1e-4)


def test_figures_of_a_second_implementation_for_the_remission_data() -> None:
    weibull, log_normal = shape(SIX_MP, "weibull"), shape(SIX_MP, "log-normal")
    assert np.exp(weibull.place) == pytest.approx(33.765, abs=0.0005)
    assert 1 / weibull.spread == pytest.approx(1.3537, abs=0.00005)
    assert weibull.log_likelihood == pytest.approx(-41.659, abs=0.0005)
    assert (log_normal.place, log_normal.spread) == pytest.approx((3.2031, 0.97873), abs=0.00005)
    assert log_normal.quantile_s(0.5) == pytest.approx(24.608, abs=0.0005)


def test_figures_of_a_second_implementation_for_mixed_holds() -> None:
    weibull = shape(MIXED, "weibull")
    assert weibull.chance(6.0) == pytest.approx(0.6497, abs=0.00005)
    assert weibull.quantile_s(0.80) == pytest.approx(4.215, abs=0.0005)


@pytest.mark.parametrize("form", [-2.0, -0.7, 0.0, 0.3, 1.0, 2.5])
def test_the_law_is_the_generalised_gamma_of_scipy(form: float) -> None:
    """Theirs raises a gamma time with shape 1 / form^2 to a power; ours is its logarithm."""
    z = np.linspace(-3, 2.5, 23)
    if form == 0:
        density, tail = stats.norm.logpdf(z), stats.norm.logsf(z)
    else:
        theirs = stats.gengamma(a=form**-2, c=form, scale=(form**-2) ** (-1 / form))
        density, tail = theirs.logpdf(np.exp(z)) + z, theirs.logsf(np.exp(z))
    ours = law_at(form, z)
    assert ours.density == pytest.approx(density, abs=1e-9)
    assert ours.tail == pytest.approx(tail, rel=1e-7, abs=1e-12)
    inside = (tail > -30) & (tail < -1e-6)
    assert z_beyond(form, np.exp(log_tail(form, z)))[inside] == pytest.approx(z[inside], abs=1e-6)


@pytest.mark.parametrize("form", [-1.0, 0.0, 0.5, 1.0, 2.0])
def test_slopes_are_differences_of_the_likelihood(form: float) -> None:
    draws = np.random.default_rng(3)
    columns = np.column_stack([np.ones(30), draws.normal(size=30)])
    weights = draws.random(30) + 0.2
    seen = Seen(draws.normal(1, 0.6, 30), draws.random(30) < 0.4, weights, columns)
    at, step = np.asarray([1.1, 0.2, -0.3]), 1e-5
    first, second = slopes(form, seen, at)
    for k in range(3):
        move = step * (np.arange(3) == k)
        change = weights * (terms(form, seen, at + move) - terms(form, seen, at - move)) / (2 * step)
        assert first[:, k] == pytest.approx(change, rel=1e-5, abs=1e-7)
        bend = (slopes(form, seen, at + move)[0] - slopes(form, seen, at - move)[0]) / (2 * step)
        assert second[:, k, :] == pytest.approx(bend, rel=1e-4, abs=1e-6)


@pytest.mark.parametrize("seed", [1, 2])
def test_generalised_gamma(seed: int) -> None:
    draws = np.random.default_rng(seed)
    would, asked = 6 * draws.weibull(1.4, 300), draws.uniform(0.5, 8, 300)
    seen = np.minimum(would, asked), (would < asked).astype(int)
    theirs = GeneralizedGammaFitter().fit(*seen)
    ours = fit_any_form(seen_of(checked_holds(seen[0].tolist(), seen[1].tolist(), None)))
    assert ours.log_likelihood == pytest.approx(theirs.log_likelihood_, abs=1e-4)
    assert (ours.place, np.log(ours.spread), ours.form) == pytest.approx(
        (theirs.mu_, theirs.ln_sigma_, theirs.lambda_), abs=5e-3
    )
    errors = theirs.summary["se(coef)"]
    for n, name in enumerate(("mu_", "ln_sigma_", "lambda_")):
        assert ours.covariance[n][n] ** 0.5 == pytest.approx(errors[name], rel=0.03)


def test_weibull_and_log_normal_are_those_of_scipy_under_censoring() -> None:
    times, broke = (np.asarray(part) for part in MIXED)
    data = stats.CensoredData.right_censored(times, broke == 0)
    power, _, scale = stats.weibull_min.fit(data, floc=0)
    assert (1 / shape(MIXED, "weibull").spread, np.exp(shape(MIXED, "weibull").place)) == pytest.approx(
        (power, scale), rel=1e-3
    )
    spread, _, middle = stats.lognorm.fit(data, floc=0)
    assert (shape(MIXED, "log-normal").spread, np.exp(shape(MIXED, "log-normal").place)) == pytest.approx(
        (spread, middle), rel=1e-3
    )


@pytest.mark.parametrize("form", [-1.0, 0.0, 1.0, 2.0])
def test_scores_without_a_session_are_those_of_fitting_again(form: float) -> None:
    draws = np.random.default_rng(4)
    would, asked = 6 * draws.weibull(1.5, 72), draws.uniform(0.5, 8, 72)
    seen = Seen(np.log(np.minimum(would, asked)), would < asked, np.ones(72), np.ones((72, 1)))
    group, prior = np.arange(72) // 12, Prior(np.asarray([1.0, 0.0]), np.asarray([0.5, 2.0]))
    for known in (nothing_known(2), prior):
        found = group_scores(form, seen, known, largest(form, seen, known).at, group)
        for session in range(6):
            again = largest(form, seen.of(group != session), known).at
            mine = float(terms(form, seen.of(group == session), again).sum())
            assert found[session] == pytest.approx(mine, abs=0.02)
