"""The likelihood of holds under a law of their logarithm, and its maximum.

Conventions
-----------
ln t = columns · effects + spread · z, z from `nares.decide.hold.laws`. Unknown are the effects, k of them
(the first column is ones and its effect the place), and the logarithm of the spread, last. A break counts
with its density, a hold cut short with the chance beyond it. A prior is normal, with a mean and a precision
(inverse variance) for each unknown; precision 0 says nothing. Densities are per second.
"""

from dataclasses import dataclass
from math import log

import numpy as np
from numpy.typing import NDArray

from nares.decide.hold.laws import law_at
from nares.decide.hold.survival import Floats

NARROWEST = 0.05
"""Smallest spread believed: holds of one dog are not equal to within some 5 %, records sometimes are."""

WIDEST = 20.0
"""Largest spread believed; beyond it the fit has run away from too few breaks."""

ROUNDS = 60
ENOUGH = 1e-10


@dataclass(frozen=True, slots=True)
class Seen:
    """Holds as the likelihood takes them: ``log_t``, ``broke`` and ``weights`` (n,), ``columns`` (n, k)."""

    log_t: Floats
    broke: NDArray[np.bool_]
    weights: Floats
    columns: Floats

    def of(self, which: NDArray[np.bool_]) -> "Seen":
        """Some of the holds."""
        return Seen(self.log_t[which], self.broke[which], self.weights[which], self.columns[which])


@dataclass(frozen=True, slots=True)
class Prior:
    """What is taken as known of each unknown beforehand: (k + 1,) means and precisions."""

    mean: Floats
    precision: Floats


@dataclass(frozen=True, slots=True)
class Maximum:
    """Where the likelihood (times the prior) is largest.

    ``at``: effects and ln spread (k + 1,). ``covariance``: inverse curvature there; an unknown on its limit
    has none. ``log_likelihood``: without the prior.
    """

    form: float
    at: Floats
    covariance: Floats
    log_likelihood: float


def nothing_known(unknowns: int) -> Prior:
    """A prior that says nothing."""
    return Prior(np.zeros(unknowns), np.zeros(unknowns))


def terms(form: float, seen: Seen, at: Floats) -> Floats:
    """Log likelihood of each hold, unweighted (n,)."""
    z, spread = _z(seen, at)
    law = law_at(form, z)
    return np.asarray(np.where(seen.broke, law.density - np.log(spread) - seen.log_t, law.tail))


def slopes(form: float, seen: Seen, at: Floats) -> tuple[Floats, Floats]:
    """First (n, k + 1) and second (n, k + 1, k + 1) derivatives of each hold's weighted log likelihood."""
    z, spread = _z(seen, at)
    law = law_at(form, z)
    hazard = law.hazard
    first = np.where(seen.broke, law.slope, -hazard)
    second = np.where(seen.broke, law.curve, -hazard * (law.slope + hazard))
    pulls = np.column_stack([-seen.columns / spread, -z])
    gradient = first[:, None] * pulls
    gradient[:, -1] -= seen.broke
    curvature = second[:, None, None] * pulls[:, :, None] * pulls[:, None, :]
    bend = first[:, None] * seen.columns / spread
    curvature[:, :-1, -1] += bend
    curvature[:, -1, :-1] += bend
    curvature[:, -1, -1] += first * z
    return seen.weights[:, None] * gradient, seen.weights[:, None, None] * curvature


def largest(form: float, seen: Seen, prior: Prior, start: Floats | None = None) -> Maximum:
    """Climb to the maximum by Newton steps, damped where the ground is not yet a hill."""
    here = _clipped(_start(seen, prior) if start is None else start)
    worth = _worth(form, seen, prior, here)
    damping = 0.0
    for _ in range(ROUNDS):
        gradient, curvature = _total(form, seen, prior, here)
        free = _free(here, gradient)
        if damping < 1e-8 and _gain(gradient, curvature, free) < ENOUGH:
            break
        step = _step(gradient, curvature, free, damping)
        there = _clipped(here + step)
        better = _worth(form, seen, prior, there)
        if better >= worth - 1e-12:
            if better - worth < ENOUGH and np.abs(there - here).max() < 1e-9:
                break
            here, worth, damping = there, better, damping / 10 if damping > 1e-6 else 0.0
        else:
            damping = max(10 * damping, 1e-3)
            if damping > 1e12:
                break
    return Maximum(form, here, _covariance(form, seen, prior, here), _weighted(form, seen, here))


def _z(seen: Seen, at: Floats) -> tuple[Floats, float]:
    spread = float(np.exp(at[-1]))
    return np.asarray((seen.log_t - seen.columns @ at[:-1]) / spread), spread


def _start(seen: Seen, prior: Prior) -> Floats:
    """The exponential's place (weighted time over breaks), a middling spread, no other effects."""
    broken = max(float(seen.weights[seen.broke].sum()), 0.5)
    start = np.where(prior.precision > 0, prior.mean, 0.0)
    if prior.precision[0] == 0 or seen.broke.any():
        start[0] = log(float((seen.weights * np.exp(seen.log_t)).sum()) / broken)
    if prior.precision[-1] == 0:
        start[-1] = log(0.7)
    return start


def _clipped(at: Floats) -> Floats:
    kept = at.copy()
    kept[-1] = min(max(kept[-1], log(NARROWEST)), log(WIDEST))
    kept[:-1] = np.clip(kept[:-1], -40, 40)
    return kept


def _free(at: Floats, gradient: Floats) -> NDArray[np.bool_]:
    """Unknowns that are not held on a limit by the slope."""
    free = np.ones(len(at), dtype=bool)
    low, high = at[-1] <= log(NARROWEST) + 1e-9, at[-1] >= log(WIDEST) - 1e-9
    free[-1] = not ((low and gradient[-1] <= 0) or (high and gradient[-1] >= 0))
    return free


def _total(form: float, seen: Seen, prior: Prior, at: Floats) -> tuple[Floats, Floats]:
    gradient, curvature = slopes(form, seen, at)
    pull = gradient.sum(0) - prior.precision * (at - prior.mean)
    return pull, curvature.sum(0) - np.diag(prior.precision)


def _gain(gradient: Floats, curvature: Floats, free: NDArray[np.bool_]) -> float:
    """What the next Newton step would still bring; endless where there is no hill."""
    part = -curvature[np.ix_(free, free)]
    try:
        np.linalg.cholesky(part)
    except np.linalg.LinAlgError:
        return float("inf")
    return float(gradient[free] @ np.linalg.solve(part, gradient[free]))


def _step(gradient: Floats, curvature: Floats, free: NDArray[np.bool_], damping: float) -> Floats:
    values, vectors = np.linalg.eigh(-curvature[np.ix_(free, free)])
    steep = np.maximum(np.abs(values), 1e-9) + damping * max(1.0, float(np.abs(values).max()))
    step = np.zeros(len(gradient))
    step[free] = np.clip(vectors @ ((vectors.T @ gradient[free]) / steep), -2.0, 2.0)
    return step


def _weighted(form: float, seen: Seen, at: Floats) -> float:
    return float(seen.weights @ terms(form, seen, at))


def _worth(form: float, seen: Seen, prior: Prior, at: Floats) -> float:
    away = at - prior.mean
    return _weighted(form, seen, at) - 0.5 * float(prior.precision @ (away * away))


def _covariance(form: float, seen: Seen, prior: Prior, at: Floats) -> Floats:
    """Inverse curvature of what may still move; an unknown on its limit is taken as known."""
    gradient, curvature = _total(form, seen, prior, at)
    free = _free(at, gradient)
    free[-1] &= min(at[-1] - log(NARROWEST), log(WIDEST) - at[-1]) > 1e-3
    return inverse_of(-curvature, free)


def inverse_of(steepness: Floats, free: NDArray[np.bool_]) -> Floats:
    """The inverse on the free unknowns, 0 elsewhere; only the first one's where there is no hill."""
    full = np.zeros(steepness.shape)
    part = steepness[np.ix_(free, free)]
    try:
        np.linalg.cholesky(part)
        full[np.ix_(free, free)] = np.linalg.inv(part)
    except np.linalg.LinAlgError:
        full[0, 0] = 1 / max(float(steepness[0, 0]), 1e-9)
    return full
