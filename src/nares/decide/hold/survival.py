"""Holds as they were seen: the share still holding at each time, with holds cut short by the mark.

Conventions
-----------
A hold ended by the dog is a *break*. A hold ended by the mark is only known to have lasted that long: it
is *cut short* (right-censored) and leaves the count of those still watched without counting as a break.
That is fair only when the ask was settled before the rep: marking early because the dog looked about to
break bends every figure here. Times are seconds, shares run from 0 to 1. Weights are shrunk to the number
of equally weighted holds that would carry as much (Kish's effective size), so that old holds at low
weight do not make the limits look sharper than they are.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import NotEnoughData, OutOfRange

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Holds:
    """Checked holds: ``hold_s`` [s], ``broke`` [bool] and ``weights`` (sum: effective holds), each (n,)."""

    hold_s: Floats
    broke: NDArray[np.bool_]
    weights: Floats

    @property
    def breaks(self) -> int:
        """Holds the dog ended. [count]"""
        return int(self.broke.sum())

    @property
    def longest_s(self) -> float:
        """The longest hold seen, whoever ended it. [s]"""
        return float(self.hold_s.max())


@dataclass(frozen=True, slots=True)
class Survived:
    """The share still holding just after ``t_s``; ``standard_error`` by Greenwood's formula.

    ``low`` and ``high`` are limits on the log-log scale, which stay inside 0 to 1. ``low`` is 0 once
    nobody is left holding.
    """

    t_s: float
    at_risk: float
    breaks: float
    share: float
    standard_error: float
    low: float
    high: float


def checked_holds(
    hold_s: Sequence[float], ended_by_dog: Sequence[bool | int], weights: Sequence[float] | None
) -> Holds:
    """Take holds in, or say which one cannot be.

    Raises:
        NotEnoughData: If there is no hold at all.
        OutOfRange: If lengths differ, or a hold, an ending or a weight cannot be.
    """
    if len(hold_s) == 0:
        raise NotEnoughData("There is no hold to learn from. Record at least one rep with its hold.")
    _require_same_length(hold_s, ended_by_dog, "endings")
    times = np.asarray([_number(v, n, "Hold", " s") for n, v in enumerate(hold_s, start=1)])
    broke = np.asarray([_ending(v, n) for n, v in enumerate(ended_by_dog, start=1)])
    if weights is None:
        return Holds(times, broke, np.ones(len(times)))
    _require_same_length(hold_s, weights, "weights")
    raw = np.asarray([_number(v, n, "Weight", "") for n, v in enumerate(weights, start=1)])
    if raw.sum() <= 0:
        raise OutOfRange("All weights are 0. Give at least one hold a weight above 0.")
    kept = raw > 0
    raw = raw[kept]
    return Holds(times[kept], broke[kept], raw * (raw.sum() / (raw**2).sum()))


def kaplan_meier(
    hold_s: Sequence[float],
    ended_by_dog: Sequence[bool | int],
    *,
    weights: Sequence[float] | None = None,
    confidence: float = 0.95,
) -> tuple[Survived, ...]:
    """Estimate the share of holds that last beyond each time at which the dog broke one.

    Args:
        hold_s: Length of each hold. [s]
        ended_by_dog: True where the dog ended it, False where the mark did. [bool]
        weights: How much each hold counts, for example more for recent ones. [-]
        confidence: Two-sided coverage of the limits. [-]

    Returns:
        One value for each time of a break, in order of time; empty when the dog never broke.

    Raises:
        NotEnoughData: If there is no hold at all.
        OutOfRange: If lengths differ, or a value cannot be.

    Sources:
        kleinbaum-klein-2012: the product-limit estimate and Greenwood's error.

    Examples:
        >>> seen = kaplan_meier([5, 5, 3.2, 5, 5, 4.1, 5, 5, 2, 5], [0, 0, 1, 0, 0, 1, 0, 0, 1, 0])
        >>> [(point.t_s, round(point.share, 2)) for point in seen]
        [(2.0, 0.9), (3.2, 0.8), (4.1, 0.7)]
    """
    if not 0 < confidence < 1:
        raise OutOfRange(f"A confidence of {confidence:g} cannot be. Give one between 0 and 1, like 0.95.")
    return product_limit(checked_holds(hold_s, ended_by_dog, weights), confidence)


def product_limit(holds: Holds, confidence: float) -> tuple[Survived, ...]:
    """Kaplan and Meier's estimate for checked holds."""
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share, greenwood = 1.0, 0.0
    points = []
    for t_s in np.unique(holds.hold_s[holds.broke]):
        at_risk = float(holds.weights[holds.hold_s >= t_s].sum())
        breaks = float(holds.weights[(holds.hold_s == t_s) & holds.broke].sum())
        left = at_risk - breaks
        all_broke = left <= 1e-12 * at_risk
        share = 0.0 if all_broke else share * left / at_risk
        greenwood += 0.0 if all_broke else breaks / (at_risk * left)
        low, high = _log_log_limits(share, greenwood, z)
        points.append(Survived(float(t_s), at_risk, breaks, share, share * sqrt(greenwood), low, high))
    return tuple(points)


def _log_log_limits(share: float, greenwood: float, z: float) -> tuple[float, float]:
    if share <= 0:
        return 0.0, 0.0
    if share >= 1:  # the breaks weigh too little to be seen beside the rest
        return 1.0, 1.0
    stretch = exp(z * sqrt(greenwood) / abs(log(share)))
    return float(share**stretch), float(share ** (1 / stretch))


def _require_same_length(hold_s: Sequence[float], other: Sequence[object], name: str) -> None:
    if len(hold_s) != len(other):
        raise OutOfRange(f"There are {len(hold_s)} holds but {len(other)} {name}. Give one for each hold.")


def _number(value: float, number: int, what: str, unit: str) -> float:
    try:
        read = float(value)
    except (TypeError, ValueError):
        read = float("nan")
    if not (0 <= read < float("inf")):
        raise OutOfRange(f"{what} {number} is {value}{unit}, which cannot be. Give a number from 0 up.")
    return read


def _ending(value: bool | int, number: int) -> bool:
    if value not in (0, 1):
        raise OutOfRange(
            f"Hold {number} ends with {value!r}. Write 1 where the dog ended it and 0 where the mark did."
        )
    return bool(value)
