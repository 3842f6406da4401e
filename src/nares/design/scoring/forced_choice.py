"""Sensitivity where every run has exactly one target and is always answered: one of so many places.

Conventions
-----------
The place that smells most is answered; then the chance to be right is an integral that is worked out by
Gauss-Legendre over the standard normal law, and d' is its inverse, never below 0. Percent right does not
compare across sizes of line-up, d' does. There is no willingness in it: an answer is always given.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import log, pi, sqrt
from statistics import NormalDist

import numpy as np

from nares.base.errors import OutOfRange
from nares.design.scoring.rates import exact_interval

REACH = 9.0
"""So many standard deviations either side are integrated over; beyond lies nothing that counts. [-]"""

LARGEST = 12.0
"""d' is sought up to here; more cannot be told from perfect. [-]"""


@dataclass(frozen=True, slots=True)
class ForcedChoice:
    """d' of a forced choice with two intervals.

    ``d_low`` to ``d_high``: likelihood root; ``exact_low`` to ``exact_high``: from the exact interval of the
    share right. An upper end, or d' itself, is None where every run was right: no bound can be given.
    ``d_error`` None at an end. ``below_chance``: fewer right than guessing gives, so that d' is set to 0.
    """

    places: int
    right: int
    runs: int
    d_prime: float | None
    d_error: float | None
    d_low: float
    d_high: float | None
    exact_low: float
    exact_high: float | None
    below_chance: bool


@lru_cache(maxsize=1)
def nodes() -> tuple[np.ndarray, np.ndarray]:
    """Places and weights of Gauss-Legendre over the standard normal law. [-]"""
    at, weight = np.polynomial.legendre.leggauss(160)
    at = at * REACH
    return at, weight * REACH * np.exp(-(at**2) / 2) / sqrt(2 * pi)


def chance_right(d_prime: float, places: int) -> float:
    """The chance that the target smells most of so many places.

    Sources:
        sensr-2011: equations 4 to 6, the psychometric function of m-alternative forced choice.

    Examples:
        >>> round(chance_right(2.0, 5), 4)
        0.7878
    """
    from scipy.special import ndtr

    at, weight = nodes()
    return float((weight * ndtr(at + d_prime) ** (places - 1)).sum())


def dprime_right(chance: float, places: int) -> float | None:
    """The d' that gives this chance to be right: 0 at or below guessing, None where no d' is large enough.

    Examples:
        >>> round(dprime_right(0.8, 4), 4)
        1.8932
    """
    from scipy.optimize import brentq

    if chance <= 1 / places:
        return 0.0
    if chance >= chance_right(LARGEST, places):
        return None
    return float(brentq(lambda d: chance_right(d, places) - chance, 0.0, LARGEST, xtol=1e-12))


def forced_choice(right: int, runs: int, places: int, *, confidence: float) -> ForcedChoice:
    """Work out d' from runs that were all answered, each with one target among so many places.

    Raises:
        OutOfRange: If the counts cannot be.

    Sources:
        sensr-2011: d', its standard error and both intervals.

    Examples:
        >>> found = forced_choice(10, 15, 3, confidence=0.95)
        >>> round(found.d_prime or 0, 4), round(found.d_low, 4), round(found.d_high or 0, 4)
        (1.1159, 0.2803, 1.9967)
    """
    if not (0 <= right <= runs and runs and places >= 2):
        raise OutOfRange(f"{right} of {runs} at {places} places cannot be scored. Count each run once.")
    d_prime = dprime_right(right / runs, places)
    low, high = _root_interval(right, runs, confidence)
    exact = exact_interval(right / runs, runs, confidence=confidence)
    return ForcedChoice(
        places,
        right,
        runs,
        d_prime,
        _error(d_prime, right / runs, runs, places),
        dprime_right(low, places) or 0.0,
        None if right == runs else dprime_right(high, places),
        dprime_right(exact[0], places) or 0.0,
        None if right == runs else dprime_right(exact[1], places),
        below_chance=right / runs < 1 / places,
    )


def _root_interval(right: int, runs: int, confidence: float) -> tuple[float, float]:
    """Shares whose likelihood lies no further below the best than the normal law allows."""
    from scipy.optimize import brentq

    drop = NormalDist().inv_cdf((1 + confidence) / 2) ** 2 / 2
    best = right / runs

    def fall(share: float) -> float:
        said = sum(k * log(one / of) for k, one, of in _parts(right, runs, share, best) if k)
        return said + drop

    tiny = 1e-12
    low = 0.0 if right == 0 else float(brentq(fall, tiny, best)) if fall(tiny) < 0 else 0.0
    high = 1.0 if right == runs else float(brentq(fall, best, 1 - tiny)) if fall(1 - tiny) < 0 else 1.0
    return low, high


def _parts(right: int, runs: int, share: float, best: float) -> tuple[tuple[int, float, float], ...]:
    return (right, share, best), (runs - right, 1 - share, 1 - best)


def _error(d_prime: float | None, share: float, runs: int, places: int) -> float | None:
    """The standard error of d', by the slope of the chance to be right."""
    if not d_prime or share in (0.0, 1.0):
        return None
    step = 1e-4
    slope = (chance_right(d_prime + step, places) - chance_right(d_prime - step, places)) / (2 * step)
    return sqrt(share * (1 - share) / runs) / slope
