"""The hold model at its edges: no breaks, one rep, all alike, nonsense; and what it never promises."""

from itertools import pairwise
from math import exp, log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from nares.base.errors import NotEnoughData, OutOfRange
from nares.decide import hold_model, kaplan_meier, recency_weights
from nares.decide.hold.holds import STRETCH

holds = st.lists(st.tuples(st.floats(0, 60), st.booleans()), min_size=1, max_size=25)


@settings(deadline=None)
@given(holds)
def test_chances_fall_with_time_and_asks_with_the_chance_wanted(seen: list[tuple[float, bool]]) -> None:
    model = hold_model([h for h, _ in seen], [b for _, b in seen])
    chances = [model.chance(t) for t in (0, 0.5, 2, 10, 60, 600)]
    assert chances[0] == 1
    assert all(1 >= a >= b >= 0 for a, b in pairwise(chances))
    assert model.ask(0.95) <= model.ask(0.85) <= model.ask(0.5) <= model.ceiling_s
    assert model.ceiling_s == STRETCH * max(h for h, _ in seen)


@settings(deadline=None)
@given(holds, st.floats(0.1, 60))
def test_limits_hold_the_chance_between_them(seen: list[tuple[float, bool]], t_s: float) -> None:
    model = hold_model([h for h, _ in seen], [b for _, b in seen])
    low, high = model.chance_limits(t_s)
    assert -1e-9 <= low <= model.chance(t_s) + 1e-9
    assert model.chance(t_s) - 1e-9 <= high <= 1
    if max(h for h, _ in seen) > 0:
        at_low, at_high = model.ask_limits(0.85)
        assert at_low <= at_high


def test_a_dog_that_never_broke_has_a_lower_limit_only_and_a_cautious_ask() -> None:
    model = hold_model([5.0] * 10, [0] * 10)
    assert model.shape == "none broken"
    assert model.chance_limits(5.0) == pytest.approx((exp(log(0.05) / 50 * 5), 1.0))
    assert model.ask(0.85) == pytest.approx(6.25)
    assert model.ask_limits(0.85)[1] == float("inf")
    assert model.chance(5.0) < 1
    assert "never broke" in model.notes[0]


def test_one_rep_held_is_not_certainty() -> None:
    model = hold_model([3.0], [0])
    assert model.ask() < 3.0
    assert model.chance(3.0) < 0.7
    assert any("single hold" in note for note in model.notes)


def test_one_break_allows_an_even_rate_only() -> None:
    model = hold_model([3.0, 4.0, 4.0], [1, 0, 0])
    assert [fit.name for fit in model.fits] == ["exponential"]
    assert model.chance(11.0) == pytest.approx(exp(-1))


def test_all_breaks_alike_do_not_become_a_step() -> None:
    model = hold_model([2.0] * 12, [1] * 12)
    assert 0 < model.chance(2.05) < 1
    assert 1.5 < model.ask(0.85) < 2.0
    low, high = model.chance_limits(2.0)
    assert low < model.chance(2.0) < high


def test_a_refusal_is_a_break_at_once() -> None:
    with_refusals = hold_model([0, 0, 4, 4, 4, 3], [1, 1, 0, 0, 0, 1])
    without = hold_model([4, 4, 4, 3], [0, 0, 0, 1])
    assert with_refusals.chance(1.0) < without.chance(1.0)


def test_nothing_but_refusals_asks_for_nearly_nothing() -> None:
    model = hold_model([0, 0, 0], [1, 1, 1])
    assert model.ask() == 0
    assert model.chance(1.0) < 0.01


def test_beyond_the_longest_hold_it_says_that_it_extrapolates() -> None:
    model = hold_model([5, 5, 3.2, 5, 5, 4.1, 5, 5, 2, 5], [0, 0, 1, 0, 0, 1, 0, 0, 1, 0])
    assert model.longest_asked_s == 5
    assert not model.extrapolates(5)
    assert model.extrapolates(5.1)
    assert model.ask(0.01) == pytest.approx(6.25)


def test_recent_holds_count_more() -> None:
    times, broke = [1.0] * 10 + [5.0] * 10, [1] * 20
    weights = recency_weights(20, half_life_reps=4)
    assert hold_model(times, broke, weights=weights).ask() > hold_model(times, broke).ask()
    assert hold_model(times, broke, weights=weights).effective_reps < 20
    assert weights[-1] == 1
    assert weights[-5] == pytest.approx(0.5)


def test_unequal_weights_are_worth_fewer_holds_and_widen_the_limits() -> None:
    """Four holds at weight 1 and four at 0.25 are worth 25 / 4.25 holds, on any scale of weights."""
    times, broke = [2.0, 3.0, 4.0, 5.0] * 2, [1, 1, 0, 1] * 2
    uneven = hold_model(times, broke, weights=[1.0] * 4 + [0.25] * 4)
    assert uneven.effective_reps == pytest.approx(25 / 4.25)
    assert hold_model(times, broke, weights=[8.0] * 4 + [2.0] * 4).effective_reps == pytest.approx(25 / 4.25)
    (low, high), (even_low, even_high) = (
        uneven.chance_limits(3.0),
        hold_model(times, broke).chance_limits(3.0),
    )
    assert high - low > even_high - even_low


@pytest.mark.parametrize(
    ("times", "broke", "weights", "says"),
    [
        ([1, -2], [1, 1], None, r"Hold 2 is -2 s, which cannot be"),
        ([1, float("nan")], [1, 1], None, r"Hold 2 is nan s"),
        ([1, float("inf")], [1, 1], None, r"Hold 2 is inf s"),
        ([1, 2], [1], None, r"2 holds but 1 endings"),
        ([1, 2], [1, 2], None, r"Hold 2 ends with 2.*Write 1 where the dog"),
        ([1, 2], [1, 0], [1], r"2 holds but 1 weights"),
        ([1, 2], [1, 0], [1, -1], r"Weight 2 is -1"),
        ([1, 2], [1, 0], [0, 0], r"All weights are 0"),
    ],
)
def test_holds_that_cannot_be(
    times: list[float], broke: list[int], weights: list[float] | None, says: str
) -> None:
    with pytest.raises(OutOfRange, match=says):
        hold_model(times, broke, weights=weights)


def test_no_hold_at_all_is_too_little() -> None:
    with pytest.raises(NotEnoughData, match=r"no hold to learn from"):
        hold_model([], [])


@pytest.mark.parametrize("chance", [0, 1, 85, float("nan")])
def test_a_chance_that_cannot_be_wanted(chance: float) -> None:
    with pytest.raises(OutOfRange, match=r"between 0 and 1, for example 0\.85"):
        hold_model([1.0], [1]).ask(chance)


@pytest.mark.parametrize("t_s", [-1, float("nan"), float("inf")])
def test_a_time_that_cannot_be(t_s: float) -> None:
    with pytest.raises(OutOfRange, match=r"cannot be asked about"):
        hold_model([1.0], [1]).chance(t_s)


def test_kaplan_meier_ends_at_zero_when_the_last_one_breaks() -> None:
    last = kaplan_meier([1, 2, 3], [1, 0, 1])[-1]
    assert (last.share, last.low, last.high, last.standard_error) == (0, 0, 0, 0)
    assert kaplan_meier([1, 2], [0, 0]) == ()
    with pytest.raises(OutOfRange, match=r"confidence of 95"):
        kaplan_meier([1], [1], confidence=95)


def test_breaks_that_weigh_next_to_nothing_leave_everything_standing() -> None:
    """After years of sessions the oldest breaks carry weights far below what a number can hold beside 1."""
    weights = recency_weights(4000, half_life_reps=40)
    model = hold_model([0.5] + [3.0] * 3999, [1] + [0] * 3999, weights=weights)
    assert (model.observed[0].share, model.observed[0].low, model.observed[0].high) == (1.0, 1.0, 1.0)
