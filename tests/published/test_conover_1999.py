"""Ranks that bound a median, as tables of the sign test print them (from memory)."""

import pytest

from nares.measure.marking.quantiles import median_interval

ROWS = [(6, 1, 6), (10, 2, 9), (15, 4, 12), (20, 6, 15), (25, 8, 18)]


@pytest.mark.published(source="conover-1999", at="ranks of the interval of a median, 95 %", seen="memory")
@pytest.mark.parametrize(("n", "low", "high"), ROWS)
def test_ranks_that_bound_a_median(n: int, low: int, high: int) -> None:
    found = median_interval(list(range(1, n + 1)), confidence=0.95)
    assert (found.low, found.high) == (low, high)
