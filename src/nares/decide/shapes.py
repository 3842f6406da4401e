"""Shapes of hold times, fitted to holds most of which are cut short by the mark.

Conventions
-----------
Every shape is a law for the logarithm of the hold: ``z = (ln t - place) / spread``, with the chance of
still holding a falling function of z. Exponential: spread 1, breaks come at an even rate. Weibull: the
rate of breaks rises (spread below 1) or falls (above 1) through the hold; in the common writing its scale
is exp(place) and its shape 1 / spread. Log-normal: few very early breaks, a long tail. Fits maximise the
likelihood of breaks at their time and cut-short holds beyond theirs. Place and ln(spread) have an
approximate covariance from the curvature at the maximum.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log, sqrt
from statistics import NormalDist
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from nares.base.errors import OutOfRange
from nares.decide.survival import Floats, Holds

ShapeName = Literal["exponential", "weibull", "log-normal"]

STEP_S = 0.1
"""Holds are recorded to this step; a hold of 0 is taken as half of it, since its logarithm must exist."""

NARROWEST = 0.05
"""Smallest spread believed: holds of one dog are not equal to within some 5 %, records sometimes are."""

WIDEST = 20.0
"""Largest spread believed; beyond it the fit has run away from too few breaks."""

BREAKS_FOR_A_SPREAD = 3
"""Breaks below which a second number cannot be learnt and only the exponential is fitted."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One fitted shape.

    ``place`` and ``spread``: see the module. ``covariance``: of (place, ln spread), as ((a, b), (b, c)).
    ``log_likelihood`` is natural, over times in seconds; ``numbers`` counts what was fitted.
    """

    name: ShapeName
    place: float
    spread: float
    covariance: tuple[tuple[float, float], tuple[float, float]]
    log_likelihood: float
    numbers: int

    @property
    def aic(self) -> float:
        """Akaike's criterion; the smaller, the better. [-]"""
        return 2 * self.numbers - 2 * self.log_likelihood

    def chance(self, t_s: float) -> float:
        """Chance of a hold of at least ``t_s``. [-]"""
        return self.survival_at(self.z(t_s))

    def quantile_s(self, chance: float) -> float:
        """The hold that is reached with this chance. [s]"""
        return exp(self.place + self.spread * self.z_of(chance))

    def z(self, t_s: float) -> float:
        """Where ``t_s`` lies in the law of the logarithm. [-]"""
        return (log(max(t_s, STEP_S / 2)) - self.place) / self.spread if t_s > 0 else -np.inf

    def survival_at(self, z: float) -> float:
        """Chance beyond z. [-]"""
        return exp(float(_LAWS[self.name][1](np.asarray([z]))[0]))

    def z_of(self, chance: float) -> float:
        """The z beyond which this chance lies. [-]"""
        if self.name == "log-normal":
            return NormalDist().inv_cdf(1 - chance)
        return log(-log(chance))

    def z_error(self, z: float) -> float:
        """Standard error of z at a fixed time. [-]"""
        (a, b), (_, c) = self.covariance
        return sqrt(max(0.0, a / self.spread**2 + 2 * b * z / self.spread + c * z * z))

    def log_quantile_error(self, chance: float) -> float:
        """Standard error of the logarithm of the hold reached with this chance. [-]"""
        (a, b), (_, c) = self.covariance
        pull = self.spread * self.z_of(chance)
        return sqrt(max(0.0, a + 2 * b * pull + c * pull * pull))


def fit_shapes(holds: Holds) -> tuple[Shape, ...]:
    """Fit every shape these holds can carry, best (smallest AIC) first.

    Raises:
        OutOfRange: If there is no break; then no shape can be told.

    Sources:
        therneau-2024: right-censored fits as a law of the logarithm with place and spread.
    """
    if holds.breaks == 0:
        raise OutOfRange("No hold was ended by the dog, so no shape can be fitted. Use the lower limit only.")
    log_t = np.log(np.maximum(holds.hold_s, STEP_S / 2))
    fits = [_fit_exponential(holds, log_t)]
    if holds.breaks >= BREAKS_FOR_A_SPREAD:
        fits += [_fit_two("weibull", holds, log_t), _fit_two("log-normal", holds, log_t)]
    return tuple(sorted(fits, key=lambda shape: shape.aic))


def _minimum_law(z: Floats) -> Floats:
    """Log density of the standard smallest-extreme-value law, that of the logarithm of a Weibull time."""
    return np.asarray(z - np.exp(np.minimum(z, 700)))


def _minimum_tail(z: Floats) -> Floats:
    return np.asarray(-np.exp(np.minimum(z, 700)))


def _normal_law(z: Floats) -> Floats:
    return np.asarray(-0.5 * z * z - 0.5 * np.log(2 * np.pi))


def _normal_tail(z: Floats) -> Floats:
    from scipy.special import log_ndtr

    return np.asarray(log_ndtr(-z), dtype=np.float64)


_LAWS: dict[str, tuple[Callable[[Floats], Floats], Callable[[Floats], Floats]]] = {
    "exponential": (_minimum_law, _minimum_tail),
    "weibull": (_minimum_law, _minimum_tail),
    "log-normal": (_normal_law, _normal_tail),
}


def _log_likelihood(name: str, place: float, spread: float, holds: Holds, log_t: Floats) -> float:
    density, tail = _LAWS[name]
    z = (log_t - place) / spread
    at_break = density(z) - np.log(spread) - log_t
    return float((holds.weights * np.where(holds.broke, at_break, tail(z))).sum())


def _fit_exponential(holds: Holds, log_t: Floats) -> Shape:
    broken = float(holds.weights[holds.broke].sum())
    place = log(float((holds.weights * np.exp(log_t)).sum()) / broken)
    likelihood = _log_likelihood("exponential", place, 1.0, holds, log_t)
    return Shape("exponential", place, 1.0, ((1 / broken, 0.0), (0.0, 0.0)), likelihood, 1)


def _fit_two(name: ShapeName, holds: Holds, log_t: Floats) -> Shape:
    """Maximise over place and ln(spread), starting from the exponential's place."""
    from scipy.optimize import minimize

    def cost(at: Floats) -> float:
        return -_log_likelihood(name, float(at[0]), exp(float(at[1])), holds, log_t)

    start = [_fit_exponential(holds, log_t).place, log(0.7)]
    limits = [(start[0] - 15, start[0] + 15), (log(NARROWEST), log(WIDEST))]
    found = minimize(
        cost,
        start,
        method="Nelder-Mead",
        bounds=limits,
        options={"xatol": 1e-8, "fatol": 1e-10, "maxiter": 4000, "maxfev": 4000},
    )
    place, log_spread = float(found.x[0]), float(found.x[1])
    covariance = _covariance(cost, place, log_spread)
    return Shape(name, place, exp(log_spread), covariance, -float(found.fun), 2)


def _covariance(
    cost: Callable[[Floats], float], place: float, log_spread: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Inverse curvature of the cost; only the place's when the spread sits on its limit."""
    here = np.asarray([place, log_spread])
    hessian = _curvature(cost, here, 1e-4 * exp(log_spread), 1e-4)
    on_limit = min(log_spread - log(NARROWEST), log(WIDEST) - log_spread) < 1e-3
    if on_limit or np.linalg.det(hessian) <= 0 or hessian[0, 0] <= 0:
        return ((1 / max(float(hessian[0, 0]), 1e-9), 0.0), (0.0, 0.0))
    inverse = np.linalg.inv(hessian)
    cross = float(inverse[0, 1])
    return ((float(inverse[0, 0]), cross), (cross, float(inverse[1, 1])))


def _curvature(
    cost: Callable[[Floats], float], here: Floats, width_0: float, width_1: float
) -> NDArray[np.float64]:
    """Second differences of the cost around a point."""
    step = np.diag([width_0, width_1])
    hessian = np.empty((2, 2))
    for i in range(2):
        for j in range(2):
            up, across = step[i], step[j]
            total = (
                cost(here + up + across)
                - cost(here + up - across)
                - cost(here - up + across)
                + cost(here - up - across)
            )
            hessian[i, j] = total / (4 * step[i, i] * step[j, j])
    return hessian
