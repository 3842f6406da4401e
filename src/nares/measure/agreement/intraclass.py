"""The intraclass correlation: how much of the spread of measured lengths is real and not the observer.

Conventions
-----------
``ratings`` has one row a target (a rep) and one column an observer, nothing missing. Forms are named as by
Shrout and Fleiss, with McGraw and Wong's names beside them. Observers here are a sample of those who might
have looked, and being off by a constant counts as disagreement: the headline is ICC(2,1), agreement of
single observers.

Two observers say little of how others would differ: where they differ by a constant, the interval of
ICC(2,1) is too narrow (simulated: 86 in 100 hold the truth when observers' constants vary as much as single
ratings do).

Like kappa, an intraclass correlation depends on how different the targets are: with holds all alike it is low
although the observers differ by hundredths of a second. Read it beside the limits of agreement.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from nares.base.errors import NotEnoughData, OutOfRange

TINY = 1e-100
"""A mean square under this is none: its square would be lost. [-]"""


@dataclass(frozen=True, slots=True)
class Intraclass:
    """One form of the intraclass correlation with its interval; None where targets do not differ at all.

    ``form``: as Shrout and Fleiss wrote it; ``called``: as McGraw and Wong did.
    """

    form: str
    called: str
    value: float | None
    low: float | None
    high: float | None
    targets: int
    observers: int


@dataclass(frozen=True, slots=True)
class Squares:
    """Mean squares of the two-way layout: targets, observers, what is left, and within targets."""

    targets: float
    observers: float
    left: float
    within: float
    n: int
    k: int


def intraclass(ratings: ArrayLike, *, confidence: float) -> dict[str, Intraclass]:
    """All six forms, by the name Shrout and Fleiss gave each.

    Args:
        ratings: Shape (targets, observers), at least 2 by 2, nothing missing.
        confidence: Two-sided coverage of the intervals. [-]

    Raises:
        OutOfRange: If a rating is missing or the confidence cannot be.
        NotEnoughData: If there are fewer than two targets or observers.

    Sources:
        shrout-fleiss-1979: the six forms.
        mcgraw-wong-1996: their names and intervals.

    Examples:
        >>> found = intraclass([[1.0, 1.1], [2.0, 2.1], [3.0, 3.0]], confidence=0.95)["ICC(2,1)"]
        >>> found.called, round(found.value, 3)
        ('ICC(A,1)', 0.997)
    """
    table = np.asarray(ratings, dtype=np.float64)
    if table.ndim != 2 or min(table.shape) < 2:
        raise NotEnoughData(
            "An intraclass correlation takes two reps and two observers at least. Mark more reps."
        )
    if not np.isfinite(table).all():
        raise OutOfRange("A rating is missing. Give only reps that every observer measured.")
    if not 0 < confidence < 1:
        raise OutOfRange(f"A confidence of {confidence:g} is not between 0 and 1. Give it like 0.95.")
    squares = mean_squares(table)
    forms = (
        _one_way(squares, confidence),
        _agreement(squares, confidence),
        _consistency(squares, confidence),
    )
    return {form.form: form for single in forms for form in (single, _averaged(single, squares))}


def mean_squares(table: NDArray[np.float64]) -> Squares:
    """The analysis of variance of a table of targets by observers."""
    n, k = table.shape
    middle = table.mean()
    rows, columns = table.mean(axis=1), table.mean(axis=0)
    targets = k * float(((rows - middle) ** 2).sum()) / (n - 1)
    observers = n * float(((columns - middle) ** 2).sum()) / (k - 1)
    left = float(((table - rows[:, None] - columns[None, :] + middle) ** 2).sum()) / ((n - 1) * (k - 1))
    within = float(((table - rows[:, None]) ** 2).sum()) / (n * (k - 1))
    return Squares(targets, observers, left, within, n, k)


def _one_way(of: Squares, confidence: float) -> Intraclass:
    value = _ratio(of.targets - of.within, of.targets + (of.k - 1) * of.within)
    low, high = _by_f(of.targets, of.within, of.n * (of.k - 1), of, confidence)
    return _form("ICC(1,1)", "ICC(1)", value, low, high, of)


def _consistency(of: Squares, confidence: float) -> Intraclass:
    value = _ratio(of.targets - of.left, of.targets + (of.k - 1) * of.left)
    low, high = _by_f(of.targets, of.left, (of.n - 1) * (of.k - 1), of, confidence)
    return _form("ICC(3,1)", "ICC(C,1)", value, low, high, of)


def _agreement(of: Squares, confidence: float) -> Intraclass:
    off = of.k * (of.observers - of.left) / of.n
    value = _ratio(of.targets - of.left, of.targets + (of.k - 1) * of.left + off)
    if value is None:
        return _form("ICC(2,1)", "ICC(A,1)", None, None, None, of)
    low, high = _agreement_ends(of, value, confidence)
    return _form("ICC(2,1)", "ICC(A,1)", value, low, high, of)


def _agreement_ends(of: Squares, value: float, confidence: float) -> tuple[float | None, float | None]:
    """The interval by Satterthwaite's degrees of freedom for what observers and error add together."""
    from scipy.stats import f

    n, k = of.n, of.k
    if value >= 1:
        return 1.0, 1.0
    by_observers, by_left = k * value / (n * (1 - value)), 1 + k * value * (n - 1) / (n * (1 - value))
    parts = by_observers * of.observers, by_left * of.left
    if max(parts) < TINY:
        return None, None  # targets do not differ, and nothing but a constant parts the observers
    free = sum(parts) ** 2 / (parts[0] ** 2 / (k - 1) + parts[1] ** 2 / ((n - 1) * (k - 1)))
    share = (1 + confidence) / 2
    below, above = float(f.ppf(share, n - 1, free)), float(f.ppf(share, free, n - 1))
    rest = k * of.observers + (k * n - k - n) * of.left
    low = n * (of.targets - below * of.left) / (below * rest + n * of.targets)
    high = n * (above * of.targets - of.left) / (rest + n * above * of.targets)
    return low, high


def _by_f(
    over: float, under: float, free: int, of: Squares, confidence: float
) -> tuple[float | None, float | None]:
    from scipy.stats import f

    if under == 0:
        return (1.0, 1.0) if over > 0 else (None, None)
    share = (1 + confidence) / 2
    found = over / under
    low, high = found / float(f.ppf(share, of.n - 1, free)), found * float(f.ppf(share, free, of.n - 1))
    return (low - 1) / (low + of.k - 1), (high - 1) / (high + of.k - 1)


def _averaged(single: Intraclass, of: Squares) -> Intraclass:
    """The same for the mean of all observers, by stepping up."""
    form, called = single.form.replace(",1", ",k"), single.called.replace("1", "k")
    value, low, high = (_stepped_up(one, of.k) for one in (single.value, single.low, single.high))
    return _form(form, called, value, low, high, of)


def _stepped_up(value: float | None, k: int) -> float | None:
    return None if value is None else _ratio(k * value, 1 + (k - 1) * value)


def _ratio(over: float, under: float) -> float | None:
    return None if under == 0 else over / under


def _form(
    form: str, called: str, value: float | None, low: float | None, high: float | None, of: Squares
) -> Intraclass:
    return Intraclass(form, called, value, low, high, of.n, of.k)
