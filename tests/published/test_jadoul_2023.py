"""Series counts of Jadoul, Duengen and Ravignani 2023, from the criteria as their paper describes them.

The criteria were read in the paper, the counts and the six series in the tests beside it; no code of theirs
was used. Even length; half of each side; at most three running; in each half a fifth of the length of each
side at least; changes at most half the length; agreement with ABAB, AABB and ABBA within the tolerance of
half.
"""

from itertools import product

import pytest

from nares.design.orders import RULES
from nares.design.orders.scores import tours

STRUCTURE = ("balanced", "longest_run_3", "halves", "reversals_at_most_half")
ALTERNATION = ("single_alternation", "double_alternation", "double_alternation_late")
SIX = ("RRRLLRLRLL", "LLLRRLRLRR", "RRLRLRRLLL", "LLRLRLLRRR", "RRLLRLRRLL", "LLRRLRLLRR")
COUNTS = {10: 8, 16: 80, 20: 4726}
BY_TOLERANCE = {0.1: 8, 0.2: 32, 0.3: 72, 0.4: 84, 0.5: 86}

Series = tuple[tuple[int, ...], ...]


def structured(length: int) -> list[Series]:
    every = product(((1,), (2,)), repeat=length)
    half = length // 2
    balanced = (series for series in every if sum(place for (place,) in series) == length + half)
    return [one for one in balanced if all(RULES[rule].holds(one, 2) for rule in STRUCTURE)]


def at_chance(series: Series, tolerance: float) -> bool:
    scores = (*tours(series, 2, stay=1), *tours(series, 2, stay=2), *tours(series, 2, stay=2, late=1))
    return all(score.at_chance(tolerance) for score in scores)


@pytest.mark.published(source="jadoul-2023", at="lengths 10, 16 and 20, tolerance 0.1", seen="read")
@pytest.mark.parametrize(("length", "count"), COUNTS.items())
def test_so_many_series_keep_the_rules(length: int, count: int) -> None:
    kept = [
        series for series in structured(length) if all(RULES[rule].holds(series, 2) for rule in ALTERNATION)
    ]
    assert len(kept) == count


@pytest.mark.published(source="jadoul-2023", at="length 10, tolerances 0.1 to 0.5", seen="read")
@pytest.mark.parametrize(("tolerance", "count"), BY_TOLERANCE.items())
def test_a_wider_tolerance_keeps_more(tolerance: float, count: int) -> None:
    assert sum(at_chance(series, tolerance) for series in structured(10)) == count


@pytest.mark.published(source="jadoul-2023", at="six series taken from Gellermann 1933", seen="read")
@pytest.mark.parametrize("series", SIX)
def test_each_of_the_six_series_keeps_gellermanns_five(series: str) -> None:
    order = [(1 if side == "L" else 2,) for side in series]
    five = ("balanced", "longest_run_3", "halves", "reversals_half", "single_alternation")
    assert [rule for rule in five if not RULES[rule].holds(order, 2)] == []
