"""Known dogs are simulated, cut short by asks settled beforehand, and found again."""

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from nares.decide import HoldModel, draw_asks, hold_model, pooled_hold_model
from nares.decide.hold.laws import z_beyond
from nares.decide.hold.shapes import fit_any_form, seen_of
from nares.decide.hold.survival import checked_holds

Floats = NDArray[np.float64]
Dog = Callable[[np.random.Generator, int], Floats]
DOGS = 60


def weibull_dog(draws: np.random.Generator, reps: int) -> Floats:
    return np.asarray(8.0 * draws.weibull(1.8, reps))


def log_normal_dog(draws: np.random.Generator, reps: int) -> Floats:
    return np.asarray(draws.lognormal(np.log(7.0), 0.7, reps))


def early_breaker(draws: np.random.Generator, reps: int) -> Floats:
    return np.asarray(15.0 * draws.weibull(0.8, reps))


ALL = pytest.mark.parametrize("dog", [weibull_dog, log_normal_dog, early_breaker], ids=lambda d: d.__name__)


def trained(dog: Dog, draws: np.random.Generator, reps: int, longest_s: float) -> HoldModel:
    held, asked = dog(draws, reps), draws.uniform(0.5, longest_s, reps)
    return hold_model(np.minimum(held, asked).tolist(), (held < asked).tolist())


def truth(dog: Dog) -> Floats:
    return np.sort(dog(np.random.default_rng(99), 400_000))


@ALL
def test_many_holds_give_back_the_chances_and_the_ask(dog: Dog) -> None:
    """3000 holds, most of them cut short: what is left is the error of the shape and of chance."""
    model = trained(dog, np.random.default_rng(4), 3000, 12.0)
    assert model.cut_short > model.breaks
    held = truth(dog)
    for t_s in (1.0, 3.0, 6.0, 10.0):
        assert model.chance(t_s) == pytest.approx(float((held >= t_s).mean()), abs=0.03)
    assert model.ask(0.85) == pytest.approx(float(np.quantile(held, 0.15)), rel=0.10)


@ALL
def test_asks_from_sixty_holds_are_right_on_average(dog: Dog) -> None:
    held = truth(dog)
    draws = np.random.default_rng(5)
    asks = [trained(dog, draws, 60, 8.0).ask(0.85) for _ in range(DOGS)]
    realised = np.mean([float((held >= ask).mean()) for ask in asks])
    assert realised == pytest.approx(0.85, abs=0.03)


@ALL
def test_intervals_of_the_chance_hold_the_truth_about_as_often_as_they_say(dog: Dog) -> None:
    held = truth(dog)
    true = float((held >= 4.0).mean())
    draws = np.random.default_rng(6)
    inside = 0
    for _ in range(DOGS):
        low, high = trained(dog, draws, 80, 8.0).chance_limits(4.0)
        inside += low <= true <= high
    assert inside / DOGS >= 0.85


@ALL
def test_drawn_asks_are_met_about_85_times_in_100(dog: Dog) -> None:
    """Sessions of twelve drawn from a fit of 60 holds, then really held or not."""
    draws = np.random.default_rng(7)
    met: list[float] = []
    for _ in range(DOGS):
        asks = draw_asks(trained(dog, draws, 60, 8.0), 12, draws=draws)
        met.append(float((dog(draws, 12) >= asks).mean()))
    assert np.mean(met) == pytest.approx(0.85, abs=0.03)


def test_taking_cut_short_holds_for_breaks_would_ask_too_little() -> None:
    """What the model must not do: the same holds with every mark counted as a break."""
    draws = np.random.default_rng(8)
    held, asked = weibull_dog(draws, 400), draws.uniform(0.5, 8.0, 400)
    seen = np.minimum(held, asked).tolist()
    honest, naive = hold_model(seen, (held < asked).tolist()), hold_model(seen, [1] * 400)
    assert naive.ask() < 0.6 * honest.ask()


@pytest.mark.parametrize(
    ("form", "spread"), [(-1.0, 0.6), (0.0, 0.8), (0.5, 0.5), (1.0, 1.4), (1.0, 0.5), (2.0, 0.4)]
)
def test_every_shape_is_recovered_under_censoring(form: float, spread: float) -> None:
    """Drawn from each law, cut short by asks; place, spread and form are found again."""
    draws = np.random.default_rng(12)
    would = np.exp(4.0 + spread * z_beyond(form, draws.random(6000)))
    asked = np.exp(4.0 + draws.uniform(-2 * spread, 1.2 * spread, 6000))
    seen = checked_holds(np.minimum(would, asked).tolist(), (would < asked).tolist(), None)
    found = fit_any_form(seen_of(seen))
    errors = [found.covariance[n][n] ** 0.5 for n in range(3)]
    for value, true, error in zip(
        (found.place, np.log(found.spread), found.form), (4.0, np.log(spread), form), errors, strict=True
    ):
        assert abs(value - true) < 4 * error + 0.02
    at_s = float(np.exp(4.0 - 0.5 * spread))
    assert found.chance(at_s) == pytest.approx(float((would >= at_s).mean()), abs=0.02)


def test_limits_with_pooling_hold_the_truth_about_as_often_as_they_say() -> None:
    """Fifteen steady dogs after six sessions: nine in ten of their chances lie inside at least."""
    inside = []
    for seed in range(15):
        draws = np.random.default_rng(700 + seed)
        held, asked = weibull_dog(draws, 72), draws.uniform(0.5, 9.0, 72)
        model = pooled_hold_model(
            np.minimum(held, asked).tolist(),
            (held < asked).tolist(),
            sessions=[f"{n // 12}" for n in range(72)],
        )
        times = np.asarray([2.0, 4.0, 6.0])
        low, high = model.limits(times)
        truth = np.exp(-((times / 8.0) ** 1.8))
        inside += [*((low <= truth) & (truth <= high))]
    assert np.mean(inside) >= 0.9
