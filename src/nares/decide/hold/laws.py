"""Laws of the logarithm of a hold, one for every value of a shape number.

Conventions
-----------
With z = (ln t - place) / spread, the generalised gamma law in Prentice's writing has one further number,
here ``form``: 1 is the Weibull (with spread 1 the exponential), 0 the log-normal, 1 with spread below 1 a
rate of breaks that rises through the hold. Below 0 the tail is long: a few holds without end.
All values are logarithms, so that holds far beyond anything seen stay finite. Densities are per unit of z.
"""

from dataclasses import dataclass
from math import lgamma, log, pi

import numpy as np

from nares.decide.hold.survival import Floats

NEAR_NORMAL = 0.02
"""Forms nearer to 0 than this are taken as log-normal; the law is continuous there."""

LARGEST = 700.0
"""Exponents are cut here: exp(700) is still a number."""


@dataclass(frozen=True, slots=True)
class AtZ:
    """What a law says at each z: log density, log chance beyond, and the density's two derivatives."""

    density: Floats
    tail: Floats
    slope: Floats
    curve: Floats

    @property
    def hazard(self) -> Floats:
        """Rate of breaks among those still holding, per unit of z."""
        return np.asarray(np.exp(np.minimum(self.density - self.tail, LARGEST)))


def law_at(form: float, z: Floats) -> AtZ:
    """Evaluate the law of this form.

    Sources:
        prentice-1974: the generalised gamma law with its shape number, log-normal at 0.
    """
    if abs(form) < NEAR_NORMAL:
        return _normal(z)
    grown = np.exp(np.minimum(form * z, LARGEST))
    if form == 1:
        return AtZ(z - grown, -grown, 1 - grown, -grown)
    return _gamma(form, z, grown)


def log_tail(form: float, z: Floats) -> Floats:
    """The logarithm of the chance beyond each z."""
    if form == 1:
        return np.asarray(-np.exp(np.minimum(z, LARGEST)))
    if abs(form) < NEAR_NORMAL:
        return _normal_tail(z)
    many = form**-2
    return _gamma_tail(form, many, many * np.exp(np.minimum(form * z, LARGEST)))


def z_beyond(form: float, chance: Floats) -> Floats:
    """The z beyond which each chance lies."""
    if form == 1:
        return np.asarray(np.log(-np.log(chance)))
    from scipy.special import gammainccinv, gammaincinv, ndtri

    if abs(form) < NEAR_NORMAL:
        return np.asarray(-ndtri(chance))
    many = form**-2
    inverse = gammainccinv if form > 0 else gammaincinv
    return np.asarray(np.log(np.maximum(inverse(many, chance), 1e-300) / many) / form)


def _normal(z: Floats) -> AtZ:
    return AtZ(-0.5 * z * z - 0.5 * log(2 * pi), _normal_tail(z), -z, np.full_like(z, -1.0))


def _normal_tail(z: Floats) -> Floats:
    from scipy.special import log_ndtr

    return np.asarray(log_ndtr(-z), dtype=np.float64)


def _gamma(form: float, z: Floats, grown: Floats) -> AtZ:
    many = form**-2
    density = log(abs(form)) + many * log(many) - lgamma(many) + many * (form * z - grown)
    return AtZ(density, _gamma_tail(form, many, many * grown), (1 - grown) / form, -grown)


def _gamma_tail(form: float, many: float, reached: Floats) -> Floats:
    """Log of the gamma law's share beyond (or, for a negative form, up to) what is reached."""
    from scipy.special import gammainc, gammaincc

    share = (gammaincc if form > 0 else gammainc)(many, reached)
    exact = np.log(np.maximum(share, 1e-280))
    reach = np.log(np.maximum(reached, 1e-300))
    far = (many - 1) * reach - reached - lgamma(many) if form > 0 else many * reach - lgamma(many + 1)
    return np.asarray(np.where(share > 1e-280, exact, far), dtype=np.float64)
