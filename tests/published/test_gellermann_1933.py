"""Gellermann's five criteria for ten trials, one after the other: 252, 194, 176, 54, 44 series are left.

The criteria were read as another paper quotes them; that Gellermann kept 44 is remembered. Read literally
the fifth cannot be kept: a balanced series of ten agrees with left, right, left, right an even number of
times, so never five. Read as four to six times it leaves 44 series. Another reading (at most five changes,
single alternation four to six, and double alternation, too) leaves 44 as well, and those of the first
reading hold one that is nothing but double alternation: so the count is confirmed here, the list is not.
"""

from itertools import product

import pytest

from nares.design.orders import RULES

CRITERIA = ("balanced", "longest_run_3", "halves", "reversals_half", "single_alternation")
LEFT = (252, 194, 176, 54, 44)


def keeping(*rules: str) -> set[str]:
    every = ["".join(series) for series in product("LR", repeat=10)]
    return {series for series in every if all(RULES[rule].holds(runs(series), 2) for rule in rules)}


def runs(series: str) -> list[tuple[int, ...]]:
    return [(1 if side == "L" else 2,) for side in series]


def mirrored(series: str) -> str:
    return series.translate(str.maketrans("LR", "RL"))


@pytest.mark.published(source="gellermann-1933", at="criteria 1 to 5, series of ten: 44", seen="memory")
def test_the_five_criteria_leave_44_series() -> None:
    assert len(keeping(*CRITERIA)) == 44


@pytest.mark.parametrize(("asked", "left"), list(enumerate(LEFT, 1)))
def test_criterion_by_criterion(asked: int, left: int) -> None:
    """The counts before the last are our own enumeration."""
    assert len(keeping(*CRITERIA[:asked])) == left


def test_the_44_are_22_and_their_mirrors() -> None:
    series = keeping(*CRITERIA)
    assert {mirrored(one) for one in series} == series


def test_the_44_hold_a_pure_double_alternation_so_the_reading_may_not_be_gellermanns() -> None:
    assert "RLLRRLLRRL" in keeping(*CRITERIA)


def test_another_reading_leaves_44_as_well() -> None:
    other = keeping(
        "balanced",
        "longest_run_3",
        "halves",
        "reversals_at_most_half",
        "single_alternation",
        "double_alternation_late",
    )
    assert len(other) == 44
    assert "RLLRRLLRRL" not in other
