"""Sensitivity and willingness where a run may be called clear: what smells most, if it smells enough.

Conventions
-----------
The dog, or the team, compares all places and answers the one that smells most,
provided that it passes a bar; else the run is called clear. That is neither yes/no (a run has one
answer for many places) nor forced choice (there may be no answer). Places without a target are standard
normal, those with it lie d' higher; c is measured from the middle of places without, so 0 means half of
single empty places would be answered. A blank run is answered with 1 - Phi(c)^m, which grows with the
number of places. Runs may differ in places and targets. d' and c are fitted together by maximum likelihood;
intervals are profiles of the likelihood.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log, pi, sqrt
from statistics import NormalDist

import numpy as np

from nares.base.errors import OutOfRange

D_RANGE = (-3.0, 9.0)
"""Where d' is sought. Below 0: the dog avoids the target. [-]"""

C_RANGE = (-5.0, 9.0)
"""Where the bar is sought. [-]"""

LEAST = 1e-300
"""A chance is never taken for less, so that its logarithm exists. [-]"""


@dataclass(frozen=True, slots=True)
class Group:
    """Runs with the same number of places and targets, by what became of them. [count]

    ``wrong``: answered at a place without a target; in a blank run every answer is.
    """

    places: int
    targets: int
    right: int
    wrong: int
    clear: int


@dataclass(frozen=True, slots=True)
class Forecast:
    """What the fitted law expects of a group of runs, beside what was seen. [count]"""

    seen: Group
    right: float
    wrong: float
    clear: float


@dataclass(frozen=True, slots=True)
class MaxRule:
    """Fitted d' and c. An end is None where the runs do not bound it on that side.

    ``d_prime`` or ``criterion_c`` None: the runs do not tie it down, as where every target was answered, or
    no run was answered wrong, or none was called clear.
    """

    runs: int
    d_prime: float | None
    d_low: float | None
    d_high: float | None
    criterion_c: float | None
    c_low: float | None
    c_high: float | None
    forecasts: tuple[Forecast, ...]


@lru_cache(maxsize=1)
def _nodes() -> tuple[np.ndarray, np.ndarray]:
    at, weight = np.polynomial.legendre.leggauss(80)
    return (at + 1) / 2, weight / 2


def chances(d_prime: float, bar: float, *, places: int, targets: int) -> tuple[float, float, float]:
    """The chances that a run is answered right, answered wrong, called clear.

    Args:
        d_prime: How far a target stands out. [-]
        bar: What the largest must pass. [-]
        places: Places of the line-up. [count]
        targets: How many of them hold a target. [count]

    Examples:
        >>> [round(one, 4) for one in chances(3.0, 2.0, places=5, targets=1)]
        [0.831, 0.0243, 0.1447]
        >>> round(chances(3.0, 2.0, places=5, targets=0)[1], 4)
        0.1087
    """
    from scipy.special import ndtr

    clear = float(ndtr(bar - d_prime) ** targets * ndtr(bar) ** (places - targets))
    if not targets:
        return 0.0, 1 - clear, clear
    low, high = max(bar, d_prime - 9.0), max(bar, d_prime) + 9.0
    unit, weight = _nodes()
    at = low + (high - low) * unit
    height = np.exp(-((at - d_prime) ** 2) / 2) / sqrt(2 * pi)
    inner = targets * height * ndtr(at - d_prime) ** (targets - 1) * ndtr(at) ** (places - targets)
    right = float((weight * inner).sum() * (high - low))
    return right, max(0.0, 1 - clear - right), clear


def log_likelihood(groups: Sequence[Group], d_prime: float, bar: float) -> float:
    """How well d' and c explain what became of the runs. [log]"""
    total = 0.0
    for group in groups:
        found = chances(d_prime, bar, places=group.places, targets=group.targets)
        total += sum(k * log(max(one, LEAST)) for k, one in zip(_came(group), found, strict=True) if k)
    return total


def fit_max_rule(groups: Sequence[Group], *, confidence: float) -> MaxRule:
    """Fit d' and c to what became of runs with and without targets.

    Args:
        groups: Runs by number of places and targets; at least one run with a target.
        confidence: Two-sided coverage of both intervals, by the profile of the likelihood. [-]

    Raises:
        OutOfRange: If no run had a target, or a count cannot be.
    """
    counted = [group for group in groups if any(_came(group))]
    if not any(group.targets for group in counted) or any(not _sane(group) for group in counted):
        raise OutOfRange("These runs cannot be fitted. At least one needs a target, and counts fit the run.")
    best, (d_prime, bar) = _best(counted)
    drop = NormalDist().inv_cdf((1 + confidence) / 2) ** 2 / 2
    d_low, d_high = _ends(lambda d: _over_c(counted, d), d_prime, best - drop, D_RANGE)
    c_low, c_high = _ends(lambda c: _over_d(counted, c), bar, best - drop, C_RANGE)
    missed = any(group.wrong + group.clear for group in counted if group.targets)
    right, wrong, clear = (any(each) for each in zip(*map(_came, counted), strict=True))
    return MaxRule(
        runs=sum(sum(_came(group)) for group in counted),
        d_prime=d_prime if missed and right and wrong else None,
        d_low=d_low if right else None,
        d_high=d_high if missed and wrong else None,
        criterion_c=bar if clear and wrong else None,
        c_low=c_low if clear else None,
        c_high=c_high if wrong else None,
        forecasts=tuple(_forecast(group, d_prime, bar) for group in counted),
    )


def _sane(group: Group) -> bool:
    whole = 0 <= group.targets <= group.places and group.places > 0
    return (
        whole and min(group.right, group.wrong, group.clear) >= 0 and (group.targets > 0 or not group.right)
    )


def _best(groups: Sequence[Group]) -> tuple[float, tuple[float, float]]:
    """The best log-likelihood, and where: d' by its profile, then c for it."""
    from scipy.optimize import minimize_scalar

    found = minimize_scalar(
        lambda d: -_over_c(groups, d), bounds=D_RANGE, method="bounded", options={"xatol": 1e-6}
    )
    d_prime = float(found.x)
    under = minimize_scalar(
        lambda c: -log_likelihood(groups, d_prime, c),
        bounds=C_RANGE,
        method="bounded",
        options={"xatol": 1e-6},
    )
    return -float(found.fun), (d_prime, float(under.x))


def _over_c(groups: Sequence[Group], d_prime: float) -> float:
    from scipy.optimize import minimize_scalar

    found = minimize_scalar(lambda c: -log_likelihood(groups, d_prime, c), bounds=C_RANGE, method="bounded")
    return -float(found.fun)


def _over_d(groups: Sequence[Group], bar: float) -> float:
    from scipy.optimize import minimize_scalar

    found = minimize_scalar(lambda d: -log_likelihood(groups, d, bar), bounds=D_RANGE, method="bounded")
    return -float(found.fun)


def _ends(
    profile: Callable[[float], float], best: float, level: float, within: tuple[float, float]
) -> tuple[float | None, float | None]:
    """Where the profile falls below a level on either side; None where it does not."""
    from scipy.optimize import brentq

    ends: list[float | None] = []
    for limit in within:
        if abs(limit - best) < 1e-3 or profile(limit) >= level or profile(best) < level:
            ends.append(None)
        else:
            ends.append(
                float(brentq(lambda at: profile(at) - level, min(limit, best), max(limit, best), xtol=1e-4))
            )
    return ends[0], ends[1]


def _came(group: Group) -> tuple[int, int, int]:
    return group.right, group.wrong, group.clear


def _forecast(group: Group, d_prime: float, bar: float) -> Forecast:
    runs = sum(_came(group))
    right, wrong, clear = chances(d_prime, bar, places=group.places, targets=group.targets)
    return Forecast(group, runs * right, runs * wrong, runs * clear)
