"""The middle of a few times, with an interval that assumes no shape.

Conventions
-----------
The interval of a median runs between two of the sorted values, chosen by the binomial law, so that it covers
at least as often as asked for. Marks of one session resemble each other; the values are then worth fewer, by
how much sessions differ in their share below the median, and the interval takes values further out. Where no
value lies far enough out there is no interval.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import floor

import numpy as np

from nares.base.errors import NotEnoughData, OutOfRange
from nares.base.interval import session_spread


@dataclass(frozen=True, slots=True)
class Middle:
    """Median, its interval and the quarter points. ``worth``: how many independent values these count for."""

    n: int
    worth: float
    median: float
    low: float | None
    high: float | None
    quarter: float
    three_quarters: float


def median_interval(
    values: Sequence[float], *, confidence: float, sessions: Sequence[Hashable] | None = None
) -> Middle:
    """The median of some values with an interval.

    Args:
        values: At least one value.
        confidence: Two-sided coverage, reached or exceeded. [-]
        sessions: The session of each value; None when values are independent.

    Raises:
        NotEnoughData: If there is no value.
        OutOfRange: If the confidence cannot be.

    Sources:
        conover-1999: the ranks.

    Examples:
        >>> found = median_interval([3.0, 1.0, 2.0, 5.0, 4.0, 7.0, 6.0], confidence=0.95)
        >>> found.median, found.low, found.high
        (4.0, 1.0, 7.0)
    """
    if not values:
        raise NotEnoughData("There is no time to take the middle of. Measure a session with marks first.")
    if not 0 < confidence < 1:
        raise OutOfRange(f"A confidence of {confidence:g} is not between 0 and 1. Give it like 0.95.")
    ordered = np.sort(np.asarray(values, dtype=np.float64))
    middle = float(np.median(ordered))
    worth = float(ordered.size)
    if sessions is not None and len(set(sessions)) > 1:
        worth = session_spread([value <= middle for value in values], sessions).effective_reps
    low, high = bounding_ranks(ordered.size, worth, confidence)
    quarter, three = (float(one) for one in np.quantile(ordered, [0.25, 0.75]))
    return Middle(
        n=ordered.size,
        worth=worth,
        median=middle,
        low=None if low is None else float(ordered[low - 1]),
        high=None if high is None else float(ordered[high - 1]),
        quarter=quarter,
        three_quarters=three,
    )


def bounding_ranks(n: int, worth: float, confidence: float) -> tuple[int | None, int | None]:
    """Ranks from 1 between which the median of n values lies; None where they do not reach far enough.

    Args:
        n: How many values there are. [count]
        worth: How many independent ones they count for, at most ``n``. [count]
        confidence: Two-sided coverage. [-]
    """
    from scipy.stats import binom

    few = max(floor(worth + 1e-9), 1)
    # The largest rank with at most half of what may be missed below it, among the values these are worth ...
    rank = int(binom.ppf((1 - confidence) / 2, few, 0.5))
    # ... and the same share of the way in among all of them.
    low = floor(rank * (n + 1) / (few + 1) + 1e-9)
    return (low, n + 1 - low) if low >= 1 else (None, None)
