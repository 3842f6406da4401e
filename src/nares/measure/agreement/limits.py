"""Limits of agreement: how far two observers' times lie apart, on average and for single events.

Conventions
-----------
A difference is second minus first. ``confidence`` is two-sided. Events of one session (a *cluster*) resemble
each other more than events of different sessions: the variance between clusters is then estimated apart from
the one within them, and every interval counts clusters, not events. Without clusters each event stands for
itself, which is right for the events of a single recording only as far as that recording goes: nothing is
said of the next session.

The mean is the mean of the cluster means; the limits hold ``z`` standard deviations of a single difference
either side. An interval for a limit adds what is not known of the mean to what is not known of the spread
(variance estimates recovered from the limits of each part), which keeps close to its coverage from about
five clusters or ten events on.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from nares.base.errors import NotEnoughData, OutOfRange

WITHIN_95 = 1.959963984540054
"""Standard deviations either side of the mean that hold 95 % of a normal population. [-]"""
FEW = 30
"""Below this many differences the limits themselves are rough. [count]"""
FEW_CLUSTERS = 5


@dataclass(frozen=True, slots=True)
class Between:
    """A value with the ends of its interval; both None where too little is there for an interval."""

    value: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Limits:
    """Mean difference and limits of agreement, each with its interval, in the unit of the differences.

    ``sd``: standard deviation of a single difference, between and within clusters together. ``notes`` are
    sentences.
    """

    pairs: int
    clusters: int
    bias: Between
    sd: float
    lower: Between
    upper: Between
    notes: tuple[str, ...]


def limits_of_agreement(
    first: ArrayLike,
    second: ArrayLike,
    *,
    confidence: float,
    clusters: Sequence[Hashable] | None = None,
    z: float = WITHIN_95,
) -> Limits:
    """Say how far apart two observers are: the mean difference and limits for single events.

    Args:
        first: What the first observer said, shape (n,).
        second: What the second said of the same events, shape (n,).
        confidence: Two-sided coverage of each interval. [-]
        clusters: The session of each event; None when every event stands for itself.
        z: Standard deviations from the mean to a limit; the 1986 paper used 2. [-]

    Raises:
        OutOfRange: If the lengths differ or the confidence cannot be.
        NotEnoughData: If there are fewer than two pairs.

    Sources:
        bland-altman-1986: mean difference, limits, and the interval of the mean.
        zou-2013: several differences of one subject, and the intervals of the limits.

    Examples:
        >>> found = limits_of_agreement([1.0, 2.0, 3.0, 4.0], [1.1, 2.0, 3.2, 4.1], confidence=0.95)
        >>> round(found.bias.value, 3), round(found.upper.value, 3)
        (0.1, 0.26)
    """
    differences = _differences(first, second)
    _require_confidence(confidence)
    groups = _groups(differences, clusters)
    means = np.array([group.mean() for group in groups])
    bias, between, within, share_within = _variances(groups, means)
    sd = sqrt(max(between + share_within * within, 0.0))
    notes = _notes(differences.size, len(groups), clustered=clusters is not None)
    if len(groups) < 2:
        pooled = float(np.std(differences, ddof=1))
        lone = Between(bias, None, None)
        low, high = Between(bias - z * pooled, None, None), Between(bias + z * pooled, None, None)
        return Limits(differences.size, 1, lone, pooled, low, high, notes)
    half = _half_of_mean(between, len(groups), confidence)
    down, up = _spread_ends(between, within, share_within, len(groups), differences.size, confidence)
    out, back = sqrt(half**2 + (z * (up - sd)) ** 2), sqrt(half**2 + (z * (sd - down)) ** 2)
    return Limits(
        pairs=differences.size,
        clusters=len(groups),
        bias=Between(bias, bias - half, bias + half),
        sd=sd,
        lower=Between(bias - z * sd, bias - z * sd - out, bias - z * sd + back),
        upper=Between(bias + z * sd, bias + z * sd - back, bias + z * sd + out),
        notes=notes,
    )


def _differences(first: ArrayLike, second: ArrayLike) -> NDArray[np.float64]:
    one, other = np.asarray(first, dtype=np.float64), np.asarray(second, dtype=np.float64)
    if one.shape != other.shape or one.ndim != 1:
        raise OutOfRange(
            f"{one.size} and {other.size} values are no pairs. Give one of each for every event."
        )
    if one.size < 2:
        raise NotEnoughData(
            "Limits of agreement take at least two pairs of events. Mark more of the recording."
        )
    return other - one


def _require_confidence(confidence: float) -> None:
    if not 0 < confidence < 1:
        raise OutOfRange(f"A confidence of {confidence:g} is not between 0 and 1. Give it like 0.95.")


def _groups(
    differences: NDArray[np.float64], clusters: Sequence[Hashable] | None
) -> list[NDArray[np.float64]]:
    if clusters is None:
        return [differences[i : i + 1] for i in range(differences.size)]
    if len(clusters) != differences.size:
        raise OutOfRange(
            f"{differences.size} pairs and {len(clusters)} sessions do not fit. Give one for each."
        )
    places: dict[Hashable, list[int]] = {}
    for place, cluster in enumerate(clusters):
        places.setdefault(cluster, []).append(place)
    return [differences[where] for where in places.values()]


def _variances(
    groups: list[NDArray[np.float64]], means: NDArray[np.float64]
) -> tuple[float, float, float, float]:
    """Mean of means, their variance, the pooled variance within, and how much of that a single event adds."""
    bias = float(means.mean())
    between = float(means.var(ddof=1)) if len(groups) > 1 else 0.0
    pairs = sum(group.size for group in groups)
    free = pairs - len(groups)
    square = sum(float(((group - mean) ** 2).sum()) for group, mean in zip(groups, means, strict=True))
    within = square / free if free else 0.0
    usual = len(groups) / sum(1 / group.size for group in groups)
    return bias, between, within, 1 - 1 / usual


def _half_of_mean(between: float, clusters: int, confidence: float) -> float:
    from scipy.stats import t

    return float(t.ppf((1 + confidence) / 2, clusters - 1)) * sqrt(between / clusters)


def _spread_ends(
    between: float, within: float, share_within: float, clusters: int, pairs: int, confidence: float
) -> tuple[float, float]:
    """The ends of an interval for the standard deviation of a single difference."""
    parts = [(between, clusters - 1), (share_within * within, pairs - clusters)]
    total = sum(part for part, _ in parts)
    down = sqrt(
        sum((part * (1 - _over_chi2(free, (1 + confidence) / 2))) ** 2 for part, free in parts if free)
    )
    up = sqrt(sum((part * (_over_chi2(free, (1 - confidence) / 2) - 1)) ** 2 for part, free in parts if free))
    return sqrt(max(total - down, 0.0)), sqrt(total + up)


def _over_chi2(free: int, share: float) -> float:
    from scipy.stats import chi2

    return free / float(chi2.ppf(share, free))


def _notes(pairs: int, clusters: int, *, clustered: bool) -> tuple[str, ...]:
    notes = []
    if pairs < FEW:
        notes.append(f"{pairs} pairs: the limits are rough, read their intervals.")
    if clustered and clusters == 1:
        notes.append("One session only: how much sessions differ cannot be seen, so there is no interval.")
    elif clustered and clusters < FEW_CLUSTERS:
        notes.append(f"{clusters} sessions: how much sessions differ is only roughly known.")
    if not clustered:
        notes.append("Events of one recording: the intervals say nothing of other sessions.")
    return tuple(notes)
