"""Times in a cycle that comes round: which part of the sniff the marks fall in, and whether they favour one.

Conventions
-----------
A *phase* runs from 0 to 1 once round the cycle and 0 is where the intake begins; angles are phase times 2
pi. The resultant ``length`` is 0 when marks fall all round evenly and 1 when all fall at one point. The
Rayleigh test asks whether there is one favoured part; it takes marks as independent, so beside it stands a
test that counts sessions (Hotelling's, on the sum of each session's directions). Neither finds two opposite
favourites.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import acos, atan2, exp, hypot, pi, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from nares.base.errors import NotEnoughData, OutOfRange

FEWEST_SESSIONS = 8
"""Sessions from which the test that counts sessions is given."""


@dataclass(frozen=True, slots=True)
class Direction:
    """Where in the cycle marks fall.

    ``phase``: mean, 0 to 1, None when the marks cancel out. ``low`` and ``high``: its interval, going on
    from low to high (so ``low`` may be the larger, across the beginning), None where the marks are too
    scattered for one. ``by_chance``: the chance of a resultant so long if marks fell anywhere.
    ``by_chance_sessions``: the same, counting sessions instead of marks; None under eight sessions, or where
    these do not differ.
    """

    n: int
    sessions: int
    phase: float | None
    low: float | None
    high: float | None
    length: float
    rayleigh_z: float
    by_chance: float
    by_chance_sessions: float | None


def mean_direction(
    phases: ArrayLike, *, confidence: float, sessions: Sequence[Hashable] | None = None
) -> Direction:
    """Mean direction, resultant length and Rayleigh's test of phases.

    Args:
        phases: Shape (n,), once round from 0 to 1; whole turns are taken off. [-]
        confidence: Two-sided coverage of the interval of the mean. [-]
        sessions: The session of each mark; None when not known.

    Raises:
        NotEnoughData: If there is no phase.
        OutOfRange: If the confidence cannot be.

    Sources:
        zar-2010: mean angle, Rayleigh's test, the interval of the mean, Hotelling's test.

    Examples:
        >>> mean_direction([0.1, 0.2, 0.3], confidence=0.95).phase
        0.2
    """
    angles = 2 * pi * np.asarray(phases, dtype=np.float64).reshape(-1)
    if not angles.size:
        raise NotEnoughData("No mark has a phase. It takes marks on a heard run of sniffs.")
    if not 0 < confidence < 1:
        raise OutOfRange(f"A confidence of {confidence:g} is not between 0 and 1. Give it like 0.95.")
    n = int(angles.size)
    across, up = float(np.cos(angles).sum()), float(np.sin(angles).sum())
    resultant = min(hypot(across, up), float(n))
    mean = _turns(atan2(up, across)) if resultant > 1e-9 * n else None
    half = None if mean is None else _half_width(n, resultant, confidence)
    ends = (None, None) if mean is None or half is None else ((mean - half) % 1, (mean + half) % 1)
    groups = list(range(n)) if sessions is None else list(sessions)
    return Direction(
        n=n,
        sessions=len(set(groups)),
        phase=mean,
        low=ends[0],
        high=ends[1],
        length=resultant / n,
        rayleigh_z=resultant**2 / n,
        by_chance=rayleigh_chance(n, resultant),
        by_chance_sessions=None if sessions is None else _hotelling(angles, groups),
    )


def rayleigh_chance(n: int, resultant: float) -> float:
    """The chance of a resultant of n unit steps at least this long, all directions alike.

    Args:
        n: How many steps. [count]
        resultant: Its length, 0 to ``n``. [-]

    Sources:
        zar-2010: the approximation to the chance.
    """
    return min(exp(sqrt(1 + 4 * n + 4 * (n**2 - resultant**2)) - (1 + 2 * n)), 1.0)


def _turns(angle: float) -> float:
    """An angle as a phase from 0 to 1, free of the last binary digit."""
    return round((angle / (2 * pi)) % 1, 12) % 1


def _half_width(n: int, resultant: float, confidence: float) -> float | None:
    """Half the interval of the mean direction in turns; None where there is none."""
    from scipy.stats import chi2

    limit = float(chi2.ppf(confidence, 1))
    if resultant / n <= 0.9:
        inside = 2 * n * (2 * resultant**2 - n * limit) / (4 * n - limit)
        if inside < 0:
            return None
        cosine = sqrt(inside) / resultant
    else:
        inside = n**2 - (n**2 - resultant**2) * exp(limit / n)
        if inside < 0:
            return None
        cosine = sqrt(inside) / resultant
    return acos(min(cosine, 1.0)) / (2 * pi)


def _hotelling(angles: NDArray[np.float64], groups: Sequence[Hashable]) -> float | None:
    """Whether the sessions' sums of directions have a mean of nothing, by Hotelling's test."""
    from scipy.stats import f

    sums: dict[Hashable, NDArray[np.float64]] = {}
    for angle, group in zip(angles, groups, strict=True):
        sums[group] = sums.get(group, np.zeros(2)) + np.array([np.cos(angle), np.sin(angle)])
    points = np.array(list(sums.values()))
    count = len(points)
    if count < FEWEST_SESSIONS:
        return None
    mean, spread = points.mean(axis=0), np.cov(points.T)
    if np.linalg.det(spread) < 1e-9 * float(np.trace(spread)) ** 2:
        return None  # sessions so alike that no spread can be told
    square = count * float(mean @ np.linalg.solve(spread, mean))
    return float(f.sf((count - 2) / (2 * (count - 1)) * square, 2, count - 2))
