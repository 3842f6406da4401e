"""Stretches of small orders, held against going through every arrangement."""

from collections import Counter
from itertools import groupby, permutations
from statistics import fmean, pvariance

import pytest

from nares.base.errors import NotEnoughData
from nares.design.orders.stretches import arrangements, stretches_test

SMALL = ["AABB", "AAAB", "AABBC", "AABBCC", "AAABBC", "AABCD", "AAAABBB"]


def stretches_of(order: tuple[str, ...]) -> int:
    return len(list(groupby(order)))


@pytest.mark.parametrize("letters", SMALL)
def test_the_counts_are_those_of_all_arrangements(letters: str) -> None:
    every = set(permutations(letters))
    counts = tuple(sorted(Counter(letters).values()))
    assert arrangements(counts) == Counter(stretches_of(order) for order in every)


@pytest.mark.parametrize("letters", SMALL)
def test_mean_and_spread_are_those_of_all_arrangements(letters: str) -> None:
    numbers = [stretches_of(order) for order in set(permutations(letters))]
    tested = stretches_test(letters)
    assert tested.expected == pytest.approx(fmean(numbers))
    assert tested.spread**2 == pytest.approx(pvariance(numbers))


@pytest.mark.parametrize("letters", SMALL)
def test_the_probability_is_the_share_as_far_off(letters: str) -> None:
    numbers = [stretches_of(order) for order in set(permutations(letters))]
    mean = fmean(numbers)
    away = abs(stretches_of(tuple(letters)) - mean)
    share = fmean(abs(number - mean) >= away - 1e-9 for number in numbers)
    assert stretches_test(letters).probability == pytest.approx(share)


def test_a_long_order_goes_by_the_normal_curve_close_to_the_exact() -> None:
    exact = stretches_test("LLRLRRLLRL" * 6)
    curve = stretches_test("LLRLRRLLRL" * 6 + "L")
    assert exact.exact
    assert not curve.exact
    assert curve.probability == pytest.approx(exact.probability, abs=0.08)


def test_an_order_of_one_place_says_nothing() -> None:
    with pytest.raises(NotEnoughData, match=r"1 different outcome tell.*Log more"):
        stretches_test([(1,)] * 20)


def test_an_order_picked_by_hand_changes_too_often() -> None:
    assert stretches_test([1, 2, 1, 2, 1, 2, 2, 1, 2, 1, 2, 1]).says.startswith("It changes more often")
    assert stretches_test([1] * 6 + [2] * 6).says.startswith("It changes less often")
