"""Ability that wanders, seen through reps met and missed: the filter and the smoother of Smith and others.

Conventions
-----------
*Ability* is the log-odds of a met rep less the log-odds of a *level*: 0 at the level, above 0 better. It
takes a random step before each bin; a *bin* is one rep, or several tried together.

- *Filter*: what is known at a bin from the reps up to it. For decisions.
- *Smoother*: what is known of a bin from all reps, later ones too. For the picture only.

Plain loops over floats: a bin is a handful of operations, for which an array is slower.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

from nares.base.errors import OutOfRange

NEAR = 1e-10
"""Newton's search for the likeliest ability ends with a step below this. [log-odds]"""

LEAP = 3.0
"""Longest step of Newton's search. [log-odds]"""

FARTHEST = 500.0
"""Log-odds are not followed beyond this. [log-odds]"""


@dataclass(frozen=True, slots=True)
class Path:
    """Ability bin by bin: mean and variance, in log-odds above the level."""

    mean: list[float]
    variance: list[float]


@dataclass(frozen=True, slots=True)
class Filtered:
    """What the filter found: means and variances after each bin, and the variances just before it."""

    path: Path
    before: list[float]


@dataclass(frozen=True, slots=True)
class Smoothed:
    """What the smoother found: the path, and how much of each correction was handed back a bin."""

    path: Path
    gain: list[float]


def offset_of(level: float) -> float:
    """Log-odds of a level.

    Raises:
        OutOfRange: If it is not between 0 and 1.
    """
    if not 0 < level < 1:
        raise OutOfRange(f"A level of {level:g} cannot be. Give a share between 0 and 1, for example 0.60.")
    return log(level / (1 - level))


def run_filter(
    met: Sequence[int],
    tried: Sequence[int],
    *,
    offset: float,
    steps: Sequence[float],
    start: tuple[float, float],
    near: Sequence[float] | None = None,
) -> Filtered:
    """Follow ability forward through the bins.

    Args:
        met: Reps met in each bin. [count]
        tried: Reps tried in each bin. [count]
        offset: Log-odds of the level. [-]
        steps: Variance of the random step before each bin, the first included. [-]
        start: Mean and variance of ability before the first step.
        near: Where each bin's likeliest ability was in an earlier pass; makes the search shorter.

    Sources:
        smith-2004: Eqs. A.6 to A.9.
    """
    x, v = start
    means, variances, before = [], [], []
    for k, (hits, n) in enumerate(zip(met, tried, strict=True)):
        v += steps[k]
        x = _likeliest(x, v, hits, n, offset, x if near is None else near[k])
        p = 1 / (1 + exp(-offset - x))
        before.append(v)
        v = v / (1 + v * n * p * (1 - p))
        means.append(x)
        variances.append(v)
    return Filtered(Path(means, variances), before)


def _likeliest(x: float, v: float, hits: int, n: int, offset: float, at: float) -> float:
    """Solve at = x + v (hits - n p(at)) by Newton's method with a bound on each step."""
    for _ in range(400):
        p = 1 / (1 + exp(-offset - at))
        step = (at - x - v * (hits - n * p)) / (1 + v * n * p * (1 - p))
        at -= LEAP if step > LEAP else max(step, -LEAP)
        if -NEAR < step < NEAR or not -FARTHEST < at < FARTHEST:
            break
    return min(max(at, -FARTHEST), FARTHEST)


def run_smoother(found: Filtered) -> Smoothed:
    """Go back through the bins, so that each knows the later ones.

    Sources:
        smith-2004: Eqs. A.10 to A.12.
    """
    means, variances, before = found.path.mean[:], found.path.variance[:], found.before
    gain = [0.0] * len(means)
    for k in range(len(means) - 2, -1, -1):
        a = gain[k] = variances[k] / before[k + 1]
        means[k] += a * (means[k + 1] - means[k])
        variances[k] += a * a * (variances[k + 1] - before[k + 1])
    return Smoothed(Path(means, variances), gain)


def log_likelihood(
    met: Sequence[int], tried: Sequence[int], *, offset: float, start: float, found: Filtered
) -> float:
    """How likely these bins are under the steps the filter was run with, up to a constant (Laplace's way).

    Args:
        met: Reps met in each bin. [count]
        tried: Reps tried in each bin. [count]
        offset: Log-odds of the level. [-]
        start: Mean of ability before the first bin. [log-odds]
        found: What the filter found.
    """
    total, expected = 0.0, start
    rows = zip(met, tried, found.path.mean, found.path.variance, found.before, strict=True)
    for hits, n, x, v, v_before in rows:
        z = offset + x
        softplus = z + log(1 + exp(-z)) if z > 0 else log(1 + exp(z))
        total += hits * z - n * softplus - (x - expected) ** 2 / (2 * v_before) + 0.5 * log(v / v_before)
        expected = x
    return total


def require_bins(met: Sequence[int], tried: Sequence[int]) -> None:
    """Refuse bins that cannot be.

    Raises:
        OutOfRange: If there are none, the two do not fit each other, or a count is impossible.
    """
    if not met or len(met) != len(tried):
        raise OutOfRange(
            f"There are {len(met)} counts met and {len(tried)} tried. Give one of each for every bin, "
            "at least one bin."
        )
    for place, (hits, n) in enumerate(zip(met, tried, strict=True), start=1):
        if n < 1 or not 0 <= hits <= n:
            raise OutOfRange(f"Bin {place} has {hits} of {n} met, which cannot be. Count each rep once.")
