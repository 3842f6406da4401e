"""Sensitivity and willingness where every trial is one place: target there, or not.

Conventions
-----------
d' is how far apart target and no target are for the dog, in standard deviations; c
is how much it takes for an answer, 0 where both faults are equally likely, above 0 a dog slow to answer.
The log-linear correction (half a hit and half a false alert more, one trial more of each) is applied
always, not only to 0 and 1, so that dogs can be compared. A' is not given: it is no measure free of
willingness, and says nothing that d' does not.
"""

from dataclasses import dataclass
from math import exp, pi, sqrt
from statistics import NormalDist

from nares.base.errors import OutOfRange

NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class YesNo:
    """d' and c with normal intervals, from corrected rates. ``ln_beta``: log of the likelihood ratio at c."""

    hits: int
    targets: int
    false_alerts: int
    empties: int
    hit_rate: float
    false_rate: float
    d_prime: float
    d_error: float
    d_low: float
    d_high: float
    criterion_c: float
    c_low: float
    c_high: float
    ln_beta: float


def yes_no(hits: int, targets: int, false_alerts: int, empties: int, *, confidence: float) -> YesNo:
    """Work out d' and c for places with and without a target.

    Args:
        hits: Answers at a target. [count]
        targets: Target places offered, at least 1. [count]
        false_alerts: Answers at a place without. [count]
        empties: Places without a target offered, at least 1. [count]
        confidence: Two-sided coverage of both intervals. [-]

    Raises:
        OutOfRange: If the counts cannot be.

    Sources:
        hautus-1995: the log-linear correction.
        gourevitch-galanter-1967: the variance of d'; that of c is a quarter of it.
        perlman-1986: d' and the likelihood ratio from two rates.

    Examples:
        >>> found = yes_no(9, 10, 2, 9, confidence=0.95)
        >>> round(found.d_prime, 4), round(found.criterion_c, 4)
        (1.7713, -0.2112)
    """
    if not (0 <= hits <= targets and 0 <= false_alerts <= empties and targets and empties):
        raise OutOfRange(
            f"{hits} of {targets} and {false_alerts} of {empties} cannot be scored. "
            "Count at least one place with a target and one without."
        )
    hit_rate, false_rate = (hits + 0.5) / (targets + 1), (false_alerts + 0.5) / (empties + 1)
    d_prime, bar = sensitivity(hit_rate, false_rate)
    error = sqrt(dprime_variance(hit_rate, targets, false_rate, empties))
    z = NORMAL.inv_cdf((1 + confidence) / 2)
    return YesNo(
        hits,
        targets,
        false_alerts,
        empties,
        hit_rate,
        false_rate,
        d_prime,
        error,
        d_prime - z * error,
        d_prime + z * error,
        bar,
        bar - z * error / 2,
        bar + z * error / 2,
        bar * d_prime,
    )


def sensitivity(hit_rate: float, false_rate: float) -> tuple[float, float]:
    """Sensitivity d' and criterion c of two rates strictly between 0 and 1.

    Examples:
        >>> d_prime, criterion = sensitivity(0.8, 0.1)
        >>> round(d_prime, 4), round(criterion, 4)
        (2.1232, 0.22)
    """
    heard, cried = NORMAL.inv_cdf(hit_rate), NORMAL.inv_cdf(false_rate)
    return heard - cried, -(heard + cried) / 2


def dprime_variance(hit_rate: float, targets: int, false_rate: float, empties: int) -> float:
    """How far d' scatters over such counts, squared.

    Examples:
        >>> round(dprime_variance(0.8, 50, 0.1, 50), 5)
        0.09927
    """
    return _part(hit_rate, targets) + _part(false_rate, empties)


def _part(rate: float, trials: int) -> float:
    height = exp(-(NORMAL.inv_cdf(rate) ** 2) / 2) / sqrt(2 * pi)
    return rate * (1 - rate) / (trials * height**2)
