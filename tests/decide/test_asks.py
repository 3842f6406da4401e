"""The asks of a session: easy ends, variety between, the target share, and the limits."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from nares.base.errors import OutOfRange
from nares.decide import asks_between, draw_asks, fleshler_hoffman, hold_model, percentile_rank
from nares.decide.hold.asks import TICK_S, expected_success

MODEL = hold_model(
    [2, 2, 3, 3, 1.4, 4, 4, 5, 2.6, 5, 6, 3.9, 6, 7, 7, 5.2, 8, 4.4],
    [0, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 1, 0, 0, 0, 1, 0, 1],
)
counts = st.integers(1, 40)
seeds = st.integers(0, 2**32)
holds = st.lists(st.tuples(st.floats(0, 30), st.booleans()), min_size=1, max_size=15)


@settings(deadline=None)
@given(holds, counts, seeds)
def test_whatever_was_seen_the_asks_can_be_used(seen: list[tuple[float, bool]], reps: int, seed: int) -> None:
    model = hold_model([h for h, _ in seen], [b for _, b in seen])
    asks = draw_asks(model, reps, draws=np.random.default_rng(seed))
    assert len(asks) == reps
    assert all(ask == round(ask, 1) and 0.1 <= ask <= max(0.2, model.ceiling_s + 0.05) for ask in asks)
    assert reps == 1 or len(set(asks)) > 1


@pytest.mark.parametrize("target", [0.75, 0.85, 0.9])
@pytest.mark.parametrize("reps", [6, 12, 20])
def test_the_expected_share_of_holds_reached_is_the_target(reps: int, target: float) -> None:
    asks = draw_asks(MODEL, reps, chance_target=target, draws=np.random.default_rng(1))
    assert expected_success(MODEL, asks) == pytest.approx(target, abs=0.015)


def test_a_session_starts_and_ends_easy_with_harder_asks_between() -> None:
    asks = draw_asks(MODEL, 12, draws=np.random.default_rng(2))
    assert asks[0] == asks[1] == asks[-1]
    assert MODEL.chance(asks[0]) >= 0.94
    assert max(asks[2:-1]) > 1.5 * asks[0]
    assert len(set(asks[2:-1])) >= 5


def test_the_order_between_is_drawn_and_the_same_draw_gives_the_same_asks() -> None:
    first, again, other = (draw_asks(MODEL, 12, draws=np.random.default_rng(seed)) for seed in (3, 3, 4))
    assert first == again
    assert first != other
    assert sorted(first) == sorted(other)


def test_every_place_between_gets_every_ask() -> None:
    """No place in the session gives away how long the hold will be."""
    draws = np.random.default_rng(5)
    fourth = {draw_asks(MODEL, 8, draws=draws)[3] for _ in range(300)}
    assert fourth == set(draw_asks(MODEL, 8, draws=draws)[1:-1])


def test_the_limits_of_a_step_hold() -> None:
    asks = draw_asks(MODEL, 12, draws=np.random.default_rng(6), shortest_s=2.5, longest_s=4.0)
    assert all(2.5 <= ask <= 4.0 for ask in asks[2:-1])
    assert max(asks[0], asks[-1]) <= 2.5


def test_a_dog_that_never_broke_is_not_asked_for_much_more_than_it_held() -> None:
    model = hold_model([4.0] * 12, [0] * 12)
    assert max(draw_asks(model, 12, draws=np.random.default_rng(7))) <= 5.0


def test_two_reps_are_both_easy_but_not_alike() -> None:
    first, last = draw_asks(MODEL, 2, draws=np.random.default_rng(8))
    assert first < last


@settings(deadline=None)
@given(st.floats(0.1, 5), st.floats(0, 5), counts, seeds)
def test_without_holds_the_asks_run_over_the_range(low: float, more: float, reps: int, seed: int) -> None:
    asks = asks_between(low, low + more, reps, draws=np.random.default_rng(seed))
    assert len(asks) == reps
    assert min(asks) >= low - 0.16
    assert max(asks) <= low + more + 0.16
    assert reps == 1 or len(set(asks)) > 1


def test_sessions_that_cannot_be() -> None:
    draws = np.random.default_rng(9)
    with pytest.raises(OutOfRange, match=r"session of 0 reps.*at least 1"):
        draw_asks(MODEL, 0, draws=draws)
    with pytest.raises(OutOfRange, match=r"from 5 s to 2 s.*shorter time first"):
        asks_between(5, 2, 8, draws=draws)
    with pytest.raises(OutOfRange, match=r"chance of 85 cannot be"):
        draw_asks(MODEL, 8, chance_target=85, draws=draws)


def test_the_progression_has_its_mean_and_an_even_hazard() -> None:
    times = fleshler_hoffman(200, mean_s=5)
    assert np.mean(times) == pytest.approx(5)
    assert times[-1] == pytest.approx(5 * (1 + np.log(200)))
    early, late = (np.mean([t - after for t in times if t > after]) for after in (1, 8))
    assert early == pytest.approx(late, rel=0.1)
    with pytest.raises(OutOfRange, match=r"0 durations around 5 s"):
        fleshler_hoffman(0, mean_s=5)


def test_the_percentile_pays_its_share_of_a_steady_dog() -> None:
    draws = np.random.default_rng(10)
    holds = draws.lognormal(1, 0.4, 6000)
    rank = round(percentile_rank(9, paid=0.8))
    paid = [holds[n] > np.sort(holds[n - 9 : n])[rank - 1] for n in range(9, 6000)]
    assert np.mean(paid) == pytest.approx(0.8, abs=0.02)
    with pytest.raises(OutOfRange, match=r"window of 9 with 80 paid"):
        percentile_rank(9, paid=80)


@given(
    scale=st.floats(0.3, 12.0),
    shape=st.floats(0.7, 3.0),
    low=st.floats(0.3, 4.0),
    width=st.floats(0.3, 5.0),
    reps=st.integers(8, 16),
    seed=st.integers(0, 10_000),
)
@settings(max_examples=60, deadline=None)
def test_the_middle_of_a_session_cannot_be_counted(
    scale: float, shape: float, low: float, width: float, reps: int, seed: int
) -> None:
    """Whatever the dog and the step: at least three durations in the middle, none beyond what is allowed."""
    chance = np.random.default_rng(seed)
    would = scale * chance.weibull(shape, 30)
    asked = low + width * chance.random(30)
    model = hold_model([float(v) for v in np.minimum(would, asked)], [bool(v) for v in would < asked])
    top = min(model.ceiling_s, low + width)
    assume(top >= low + 0.3)
    asks = draw_asks(model, reps, draws=chance, shortest_s=low, longest_s=low + width)
    middle = asks[2 if reps >= 10 else 1 : -1]
    assert len(set(middle)) >= 3
    assert all(TICK_S <= ask <= top + TICK_S / 2 + 1e-9 for ask in asks)
