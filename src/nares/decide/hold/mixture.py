"""Several shapes taken together, each at its share: chances, holds reached, and their limits.

Conventions
-----------
Where one shape is chosen it has the whole share. Limits take each shape's z as normal around its estimate
and the shapes as rivals at their shares, so that they are as wide as not knowing the shape makes them.
``averaged``: chances are averages over what is not known of each shape's numbers, which is what the next
rep will show on average; otherwise they are those of the likeliest numbers.
"""

from dataclasses import dataclass
from math import exp, log
from statistics import NormalDist

import numpy as np

from nares.decide.hold.laws import log_tail, z_beyond
from nares.decide.hold.shapes import Shape
from nares.decide.hold.survival import Floats

NODES, NODE_SHARES = (
    np.asarray([-2.3344142183, -0.7419637843, 0.7419637843, 2.3344142183]),
    np.asarray([0.0458758548, 0.4541241452, 0.4541241452, 0.0458758548]),
)
"""Where a standard normal is looked at to average over it (Gauss and Hermite's four points)."""

LEVELS = np.concatenate(
    [np.geomspace(1e-6, 0.01, 30)[:-1], np.linspace(0.01, 0.99, 99), 1 - np.geomspace(0.01, 1e-9, 40)[1:]]
)
"""Chances at which limits are looked up; between them they are interpolated."""

ROUNDS, POINTS = 4, 40


@dataclass(frozen=True, slots=True)
class Mixture:
    """Shapes, leading one first, and their shares, which sum to 1."""

    shapes: tuple[Shape, ...]
    shares: tuple[float, ...]
    averaged: bool = False

    def chances(self, times_s: Floats) -> Floats:
        """Chance of a hold of at least each time. [-]"""
        found = np.zeros(len(times_s))
        for shape, share in zip(self.shapes, self.shares, strict=True):
            z = shape.z(times_s)
            if not self.averaged:
                found += share * np.exp(log_tail(shape.form, z))
                continue
            moved = z[None] + NODES[:, None] * shape.z_error(z)[None]
            found += share * (NODE_SHARES @ np.exp(log_tail(shape.form, moved)))
        return np.where(times_s > 0, np.clip(found, 0.0, 1.0), 1.0)

    def limits(self, times_s: Floats, confidence: float) -> tuple[Floats, Floats]:
        """Bound the chance of a hold of at least each time. [-]"""
        from scipy.special import ndtr

        below = np.zeros((len(times_s), len(LEVELS)))
        for shape, share in zip(self.shapes, self.shares, strict=True):
            z = shape.z(times_s)
            error = np.maximum(shape.z_error(z), 1e-9)
            below += share * ndtr((z[:, None] - z_beyond(shape.form, LEVELS)[None]) / error[:, None])
        tail = (1 - confidence) / 2
        low, high = (
            np.asarray([np.interp(level, row, LEVELS, left=0.0, right=1.0) for row in below])
            for level in (tail, 1 - tail)
        )
        return np.where(times_s > 0, low, 1.0), np.where(times_s > 0, high, 1.0)

    def reached_s(self, chance: float) -> float:
        """The hold that is reached with this chance. [s]"""
        alone = [shape.place + shape.spread * _z_of(shape, chance) for shape in self.shapes]
        low, high = (
            min(alone) - (3.0 if self.averaged else 1e-9),
            max(alone) + (3.0 if self.averaged else 1e-9),
        )
        for _ in range(ROUNDS):
            at = np.linspace(low, high, POINTS)
            enough = int((self.chances(np.exp(at)) >= chance).sum())
            low, high = float(at[max(enough - 1, 0)]), float(at[min(max(enough, 1), POINTS - 1)])
        return exp((low + high) / 2)

    def reached_limits_s(self, chance: float, confidence: float) -> tuple[float, float]:
        """Bound the hold reached with this chance. [s]"""
        normals = [
            NormalDist(log(shape.quantile_s(chance)), max(shape.log_quantile_error(chance), 1e-9))
            for shape in self.shapes
        ]
        tail = (1 - confidence) / 2
        return tuple(exp(_mixed_quantile(normals, self.shares, level)) for level in (tail, 1 - tail))  # type: ignore[return-value]


def _z_of(shape: Shape, chance: float) -> float:
    return float(z_beyond(shape.form, np.asarray([chance]))[0])


def _mixed_quantile(normals: list[NormalDist], shares: tuple[float, ...], level: float) -> float:
    each = [normal.inv_cdf(level) for normal in normals]
    low, high = min(each), max(each)
    for _ in range(50):
        middle = (low + high) / 2
        below = sum(share * normal.cdf(middle) for share, normal in zip(shares, normals, strict=True))
        low, high = (middle, high) if below < level else (low, middle)
    return min((low + high) / 2, 700.0)
