"""The learning curve on the example responses of Smith and others.

How it was seen: the responses and the equations were read in commented public code of the first author. No
result printed for them was at hand. The figures below were computed once by a separate implementation of the
same equations, so these tests are not marked as published; `tests/oracle/test_curve.py` checks the model
another way.
"""

import pytest

from nares.decide.progress.curve import learning_curve
from nares.decide.progress.fits import Start

FIRST = [int(c) for c in "000010111111110101101"] + [1] * 20
SECOND = [int(c) for c in "10000010001111010010000"] + [1] * 17
OF_THIRTY = [4, 3, 3, 3, 2, 3, 10, 11, 12, 3, 5, 6, 7, 8, 9, 12, 14, 15, 16, 18, 22, 25, 26]

ROWS: list[tuple[list[int], int, float, Start, float, int]] = [
    (FIRST, 1, 0.5, "at_level", 0.13065, 10),
    (FIRST, 1, 0.5, "half_way", 0.14454, 10),
    (FIRST, 1, 0.5, "at_first", 0.42081, 21),
    (FIRST, 1, 0.25, "at_level", 0.25123, 6),
    (FIRST, 1, 0.25, "at_first", 0.42081, 7),
    (SECOND, 1, 0.5, "at_level", 0.24878, 26),
    (SECOND, 1, 0.5, "half_way", 0.24630, 26),
    (SECOND, 1, 0.5, "at_first", 0.41507, 26),
    (OF_THIRTY, 30, 0.1, "at_level", 0.16358, 6),
    (OF_THIRTY, 30, 0.1, "half_way", 0.16269, 6),
    (OF_THIRTY, 30, 0.1, "at_first", 0.18066, 6),
]


@pytest.mark.parametrize(("met", "tried", "level", "start", "wander", "learned"), ROWS)
def test_wander_and_learning_rep_are_those_of_a_second_implementation(
    met: list[int], tried: int, level: float, start: Start, wander: float, learned: int
) -> None:
    curve = learning_curve(met, [tried] * len(met), level=level, start=start)
    assert curve.settled
    assert curve.wander == pytest.approx(wander, abs=0.00002)
    assert curve.learned_at == learned


POINTS: list[tuple[list[int], int, float, Start, dict[int, float]]] = [
    (FIRST, 1, 0.5, "at_level", {1: 0.4723, 10: 0.7453, 15: 0.7537, 21: 0.8368, 30: 0.9347, 41: 0.9552}),
    (FIRST, 1, 0.5, "half_way", {1: 0.4490, 10: 0.7473, 21: 0.8368, 41: 0.9580}),
    (FIRST, 1, 0.5, "at_first", {1: 0.2559, 10: 0.8060, 15: 0.7123, 21: 0.8315, 41: 0.9802}),
    (FIRST, 1, 0.25, "at_level", {5: 0.5013, 10: 0.7665}),
    (SECOND, 1, 0.5, "at_level", {10: 0.4449, 24: 0.6892, 28: 0.8671, 40: 0.9504}),
    (
        OF_THIRTY,
        30,
        0.1,
        "at_level",
        {5: 0.1229, 7: 0.2630, 12: 0.2120, 15: 0.3201, 20: 0.6263, 23: 0.8252},
    ),
]


@pytest.mark.parametrize(("met", "tried", "level", "start", "points"), POINTS)
def test_the_middle_of_the_curve_is_that_of_a_second_implementation(
    met: list[int], tried: int, level: float, start: Start, points: dict[int, float]
) -> None:
    curve = learning_curve(met, [tried] * len(met), level=level, start=start).looking_back
    found = {trial: curve.middle[trial - 1] for trial in points}
    assert found == pytest.approx(points, abs=0.0002)


def test_the_lower_limit_is_one_sided_at_ninety_five_per_cent() -> None:
    low = learning_curve(FIRST, level=0.5, start="at_level").looking_back.low
    assert low[9] == pytest.approx(0.5149, abs=0.0002)
    free = learning_curve(FIRST, level=0.5, start="at_first").looking_back.low
    assert (free[9], free[20]) == pytest.approx((0.4942, 0.5453), abs=0.0002)


def test_the_learning_rep_is_the_first_above_for_good_not_the_last_below() -> None:
    """Trial 9 is the last below; trial 10 the first from which on all are above. One off is a known trap."""
    low = learning_curve(FIRST, level=0.5, start="at_level").looking_back.low
    assert low[8] < 0.5 < low[9]
    assert min(low[9:]) > 0.5


def test_a_curve_that_begins_at_the_first_rep_does_not_know_the_level() -> None:
    one, other = (learning_curve(FIRST, level=level, start="at_first") for level in (0.5, 0.25))
    assert one.wander == pytest.approx(other.wander, abs=1e-5)
    assert one.looking_back.middle == pytest.approx(other.looking_back.middle, abs=1e-4)
