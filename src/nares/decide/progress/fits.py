"""Where ability begins and how much it wanders: three published ways, and the one the page uses.

Conventions
-----------
The published ways find one ``wander`` (variance of the step from bin to bin) by expectation and maximisation
and differ in where ability begins:

- ``at_level``: exactly at the level. Pulls a short record towards it.
- ``half_way``: half-way from the level to the first bin's ability.
- ``at_first``: at the first bin's ability; the curve does not depend on the level then.

``open`` is ours. Ability begins anywhere (shares from 0 to 1 about equally likely, whatever the level), and
instead of the one likeliest wander five are followed, from hardly any to a leap within a few reps; each
counts as much as it makes the reps likely. Why: `docs/decisions/0052-drift-and-relapse.md`.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from math import exp
from typing import Literal

from nares.base.errors import NotEnoughData
from nares.decide.progress.state_space import (
    Filtered,
    Path,
    Smoothed,
    log_likelihood,
    offset_of,
    require_bins,
    run_filter,
    run_smoother,
)

Start = Literal["open", "at_level", "half_way", "at_first"]
PublishedStart = Literal["at_level", "half_way", "at_first"]

OPEN_VARIANCE = 1.8**2
"""Variance of log-odds in the open start: close to every share being equally likely. [-]"""

WANDERS = (0.02, 0.05, 0.1, 0.2, 0.4)
"""Steps of ability a rep that the open start weighs (standard deviation). [log-odds]"""

FIRST_WANDER = 0.005
SETTLED = 1e-8
PASSES = 5000
"""The published iteration is given up after so many passes. [count]"""


@dataclass(frozen=True, slots=True)
class Ability:
    """Ability bin by bin: ``live`` from the reps so far, ``looking_back`` from all reps.

    ``wander``: variance of the step from bin to bin; with the open start the weighed mean, for one rep.
    ``passes``: how often the reps were gone through; ``settled``: whether the published iteration came to
    rest.
    """

    live: Path
    looking_back: Path
    wander: float
    passes: int
    settled: bool


def open_ability(met: Sequence[int], tried: Sequence[int], *, level: float) -> Ability:
    """Follow ability from an open start, weighing how much it wanders.

    Args:
        met: Reps met in each bin, oldest first. [count]
        tried: Reps tried in each bin. [count]
        level: The share that ability is counted from. [-]

    Raises:
        OutOfRange: If the bins or the level cannot be.
    """
    require_bins(met, tried)
    offset = offset_of(level)
    middles = [(a + b) / 2 for a, b in itertools.pairwise(tried)]
    forward: list[Filtered] = []
    fits: list[float] = []
    near: list[float] | None = None
    for wander in WANDERS:
        steps = [0.0, *(wander * wander * reps for reps in middles)]
        found = run_filter(met, tried, offset=offset, steps=steps, start=(-offset, OPEN_VARIANCE), near=near)
        near = found.path.mean
        forward.append(found)
        fits.append(log_likelihood(met, tried, offset=offset, start=-offset, found=found))
    best = max(fits)
    raw = [exp(fit - best) for fit in fits]
    shares = [one / sum(raw) for one in raw]
    return Ability(
        live=_mixed([found.path for found in forward], shares),
        looking_back=_mixed([run_smoother(found).path for found in forward], shares),
        wander=sum(share * wander * wander for share, wander in zip(shares, WANDERS, strict=True)),
        passes=len(WANDERS),
        settled=True,
    )


def _mixed(paths: Sequence[Path], shares: Sequence[float]) -> Path:
    """One path with the mean and the variance of several, each with its share."""
    means, variances = [], []
    for bins in zip(*(zip(path.mean, path.variance, strict=True) for path in paths), strict=True):
        mean = sum(share * x for share, (x, _) in zip(shares, bins, strict=True))
        means.append(mean)
        variances.append(
            sum(share * (v + (x - mean) ** 2) for share, (x, v) in zip(shares, bins, strict=True))
        )
    return Path(means, variances)


def published_ability(
    met: Sequence[int], tried: Sequence[int], *, level: float, start: PublishedStart
) -> Ability:
    """Follow ability with the one wander that expectation and maximisation find.

    Args:
        met: Reps met in each bin, oldest first. [count]
        tried: Reps tried in each bin. [count]
        level: The share that ability is counted from ("chance" in the paper). [-]
        start: Where ability begins.

    Raises:
        OutOfRange: If the bins or the level cannot be.
        NotEnoughData: With fewer than two bins, or when every rep was met or every one missed: the iteration
            then runs away.

    Sources:
        smith-2004: Eqs. A.13 to A.16.
    """
    require_bins(met, tried)
    offset = offset_of(level)
    if len(met) < 2 or sum(met) in (0, sum(tried)):
        raise NotEnoughData(
            "The published fit needs at least two bins, with reps met and reps missed. Use the open "
            "start here."
        )
    wander, x0, v0 = FIRST_WANDER, 0.0, FIRST_WANDER
    near: list[float] | None = None
    passes, settled = 0, False
    while not settled and passes < PASSES:
        passes += 1
        forward = run_filter(met, tried, offset=offset, steps=[wander] * len(met), start=(x0, v0), near=near)
        near = forward.path.mean
        back = run_smoother(forward)
        new, begin, spread = _maximised(back, start)
        settled = abs(new - wander) < SETTLED and abs(begin - x0) < SETTLED
        if not settled:
            wander, x0, v0 = new, begin, new if spread is None else spread
    return Ability(forward.path, back.path, wander, passes, settled)


def _maximised(back: Smoothed, start: PublishedStart) -> tuple[float, float, float | None]:
    """The wander, and the mean and variance to begin with, that make the smoothed path likeliest."""
    x, v, gain = back.path.mean, back.path.variance, back.gain
    rows = range(1, len(x))
    squares = sum(v[k] + x[k] ** 2 for k in rows)
    products = sum(gain[k - 1] * v[k] + x[k] * x[k - 1] for k in rows)
    last = v[-1] + x[-1] ** 2
    if start == "at_first":
        first, count, begin, spread = x[0] ** 2 + 2 * v[0], len(x), x[0], v[0]
        return (2 * (squares - products) + first - last) / count, begin, spread
    pull, begin = (2.0, 0.0) if start == "at_level" else (1.5, x[0] / 2)
    first = pull * x[0] ** 2 + 2 * v[0]
    return (2 * (squares - products) + first - last) / (len(x) + 1), begin, None
