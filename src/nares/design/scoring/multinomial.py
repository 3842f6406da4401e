"""Whether choices fall on places as chance would have them, exactly, by chi-square as the measure of unlike.

Conventions
-----------
Each choice has its own shares over the places, because a place that holds the target in a run cannot take a
false alert in it: chance is not one die for all. Outcomes are ordered by Pearson's chi-square against the
summed shares; an ordering by probability would give another figure (it is named here, never mixed in).
Counted out exactly while that is feasible, else simulated with the error stated.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import comb

import numpy as np

from nares.base.errors import OutOfRange
from nares.design.scoring.two_rates import DRAWS, MOST_STATES, SEED, simulated_chance

LEAST_EXPECTED = 5.0
"""The large-sample chance is given only where every place can expect so many. [count]"""

MOST_STEPS = 3_000_000
"""Steps of counting out after which choices are simulated instead. [count]"""


@dataclass(frozen=True, slots=True)
class FitTest:
    """Counts by place against what chance expects.

    ``p_exact``: chance of a chi-square as large or larger; ``p_mid`` counts outcomes as large by half.
    ``p_large``: by the chi-square law, None where a place expects too few. ``error``: half a 95 % interval of
    a simulated chance. ``freedom``: places that can be chosen, less one.
    """

    counts: tuple[int, ...]
    expected: tuple[float, ...]
    chi_square: float
    freedom: int
    p_exact: float
    p_mid: float
    p_large: float | None
    how: str
    error: float | None = None
    ordering: str = "chi-square"


def fit_test(counts: Sequence[int], choices: Sequence[Sequence[float]]) -> FitTest:
    """Test counts by place against what chance expects of these choices.

    Args:
        counts: How often each place was chosen.
        choices: For each choice, the share of every place if there is no bias; each sums to 1.

    Raises:
        OutOfRange: If counts and choices do not belong together, or a place was chosen that could not be.

    Sources:
        fagerland-2017: exact and mid-P for one multinomial sample, ordered by chi-square.
    """
    shares = np.asarray(choices, dtype=float)
    if len(shares) != sum(counts) or not len(shares) or shares.shape[1] != len(counts):
        raise OutOfRange(
            "Choices and counts by place do not belong together. Give one row of shares a choice."
        )
    expected = shares.sum(axis=0)
    open_to = expected > 0
    if any(count and not free for count, free in zip(counts, open_to, strict=True)):
        raise OutOfRange("A place was chosen that could not be. Give it a share.")
    seen = np.asarray(counts)[open_to]
    free, mean = shares[:, open_to], expected[open_to]
    square = float(((seen - mean) ** 2 / mean).sum())
    more, equal, how, error = _chances(free, mean, square)
    return FitTest(
        counts=tuple(counts),
        expected=tuple(float(one) for one in expected),
        chi_square=square,
        freedom=len(mean) - 1,
        p_exact=min(1.0, more + equal),
        p_mid=more + equal / 2,
        p_large=_large(square, len(mean) - 1) if mean.min() >= LEAST_EXPECTED and len(mean) > 1 else None,
        how=how,
        error=error,
    )


def _chances(shares: np.ndarray, mean: np.ndarray, square: float) -> tuple[float, float, str, float | None]:
    """Chance of more than this chi-square, of just this one, how found, and the error."""
    found = _one_die(shares[0], mean, len(shares)) if _alike(shares) else _own_dice(shares, mean)
    if found is None:
        return _simulated(shares, mean, square)
    edge = 1e-9 * max(1.0, square)
    more = sum(chance for value, chance in found if value > square + edge)
    equal = sum(chance for value, chance in found if abs(value - square) <= edge)
    return more, equal, "counted out", None


def _alike(shares: np.ndarray) -> bool:
    return bool(np.allclose(shares, shares[0], rtol=0, atol=1e-12))


def _one_die(share: np.ndarray, mean: np.ndarray, choices: int) -> list[tuple[float, float]] | None:
    """Every chi-square and its chance where all choices have the same shares, place by place."""
    outcomes = comb(choices + len(share) - 1, len(share) - 1)
    if outcomes > MOST_STATES and not np.allclose(share, share[0], rtol=0, atol=1e-12):
        return None  # with equal shares many outcomes share a chi-square, with unequal ones hardly any do
    states: dict[tuple[int, float], float] = {(choices, 0.0): 1.0}
    left = 1.0
    for place, (one, expects) in enumerate(zip(share, mean, strict=True)):
        last, part = place == len(share) - 1, min(1.0, float(one) / left)
        ahead: dict[tuple[int, float], float] = {}
        for (rest, so_far), chance in states.items():
            for count in (rest,) if last else range(rest + 1):
                weight = 1.0 if last else comb(rest, count) * part**count * (1 - part) ** (rest - count)
                state = (rest - count, round(so_far + (count - float(expects)) ** 2 / float(expects), 10))
                ahead[state] = ahead.get(state, 0.0) + chance * weight
        states, left = ahead, max(left - float(one), 1e-300)
        if len(states) > MOST_STATES:
            return None
    return [(value, chance) for (_, value), chance in states.items()]


def _own_dice(shares: np.ndarray, mean: np.ndarray) -> list[tuple[float, float]] | None:
    """Every chi-square and its chance where choices have different shares, choice by choice."""
    base = len(shares) + 1  # counts by place are the digits of one whole number
    if base ** len(mean) >= 2**62:
        return None
    worth = base ** np.arange(len(mean), dtype=np.int64)
    states: np.ndarray = np.zeros(1, dtype=np.int64)
    chances: np.ndarray = np.ones(1)
    steps = 0
    for row in shares:
        free = row > 0
        steps += len(states) * int(free.sum())
        if steps > MOST_STEPS:
            return None
        ahead = (states[:, None] + worth[free]).ravel()
        states, at = np.unique(ahead, return_inverse=True)
        chances = np.bincount(at.ravel(), weights=(chances[:, None] * row[free]).ravel())
    tables = states[:, None] // worth % base
    squares = ((tables - mean) ** 2 / mean).sum(axis=1)
    return list(zip(squares.tolist(), chances.tolist(), strict=True))


def _simulated(shares: np.ndarray, mean: np.ndarray, square: float) -> tuple[float, float, str, float]:
    draws = np.random.default_rng(SEED)
    counts = np.zeros((DRAWS, len(mean)))
    kinds, often = np.unique(shares, axis=0, return_counts=True)
    for row, times in zip(kinds, often, strict=True):
        counts += draws.multinomial(times, row / row.sum(), size=DRAWS)
    squares = ((counts - mean) ** 2 / mean).sum(axis=1)
    edge = 1e-9 * max(1.0, square)
    reached, how, error = simulated_chance(int((squares >= square - edge).sum()))
    equal = float((np.abs(squares - square) <= edge).mean())
    return reached - equal, equal, how, error


def _large(square: float, freedom: int) -> float:
    from scipy.special import chdtrc

    return float(chdtrc(freedom, square))
