"""Invented dogs of known ways of holding, to judge hold models and asks by.

A dog is asked for a hold and holds to the ask or breaks before it; the true chance of any hold in any
session is known. A dog's own numbers are drawn from its seed around those of its kind.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Way = Callable[[np.random.Generator, int], Floats]
"""Standard holds of a kind (its own spread, about 1 s): so many, drawn."""


@dataclass(frozen=True)
class Kind:
    """A kind of dog: how its holds spread, and how its ability moves.

    ``growth``: change of ln(hold) from one rep to the next. ``uneven``: standard deviation of ln(hold)
    from day to day. ``declines``: chance that it does not go in at all.
    """

    name: str
    way: Way
    growth: float = 0.0
    uneven: float = 0.0
    declines: float = 0.0


def _weibull(shape: float) -> Way:
    return lambda draws, reps: np.asarray(draws.weibull(shape, reps))


def _log_normal(spread: float) -> Way:
    return lambda draws, reps: np.asarray(draws.lognormal(0, spread, reps))


def _long_tail(draws: np.random.Generator, reps: int) -> Floats:
    """Log-logistic with a shape of 1.6: a tenth of the holds outlasts four times the middle one."""
    u = draws.random(reps)
    return np.asarray((u / (1 - u)) ** (1 / 1.6))


def _two_moods(draws: np.random.Generator, reps: int) -> Floats:
    """One hold in eight is broken early, the others are steady: no shape of the family fits."""
    early = draws.random(reps) < 0.125
    return np.where(early, 0.15 * draws.weibull(1.0, reps), draws.weibull(3.0, reps))


KINDS = (
    Kind("rising rate of breaks", _weibull(1.8)),
    Kind("strongly rising rate", _weibull(3.0)),
    Kind("early breaks", _weibull(0.7)),
    Kind("log-normal", _log_normal(0.7)),
    Kind("drifting down", _weibull(1.8), growth=-0.01),
    Kind("improving", _weibull(1.8), growth=0.01),
    Kind("declines one in fourteen", _weibull(1.8), declines=0.07),
    Kind("long tail", _long_tail),
    Kind("two moods", _two_moods),
    Kind("uneven days", _weibull(1.8), uneven=0.25),
)


USUAL_S = 4.0
"""The middle of the dogs reaches this hold 85 times in 100 at the start. [s]"""


@cache
def _reference(kind: Kind) -> Floats:
    """Very many standard holds of a kind, in order: its true law."""
    return np.sort(kind.way(np.random.default_rng(6), 40_000))


@dataclass
class SimulatedDog:
    """One dog of a kind. ``scale_s`` sets how long it holds at the start."""

    kind: Kind
    seed: int

    def __post_init__(self) -> None:
        self.draws = np.random.default_rng([7, self.seed])
        reached = np.quantile(_reference(self.kind), 0.15)
        self.scale_s = float(np.exp(self.draws.normal(np.log(USUAL_S), 0.35)) / reached)
        self.reps_done = 0

    def session(self, asks_s: list[float]) -> tuple[list[float], list[bool]]:
        """Be asked for these holds in turn: how long each lasted, and whether the dog ended it."""
        day = self.draws.normal(0, self.kind.uneven) if self.kind.uneven else 0.0
        held, broke = [], []
        for ask_s in asks_s:
            level = self.scale_s * np.exp(self.kind.growth * self.reps_done + day)
            would = float(level * self.kind.way(self.draws, 1)[0])
            if self.draws.random() < self.kind.declines:
                would = 0.0
            broke.append(would < ask_s)
            held.append(round(min(would, ask_s), 2))
            self.reps_done += 1
        return held, broke

    def chances(self, asks_s: list[float]) -> Floats:
        """The true chance of each of these holds now."""
        level = self.scale_s * np.exp(self.kind.growth * self.reps_done)
        held = _reference(self.kind)
        beyond = 1 - np.searchsorted(held, np.asarray(asks_s) / level) / len(held)
        return np.asarray((1 - self.kind.declines) * beyond)

    def reached_s(self, chance: float) -> float:
        """The hold this dog really reaches with this chance now. [s]"""
        wanted = min(chance / (1 - self.kind.declines), 1.0)
        level = self.scale_s * np.exp(self.kind.growth * self.reps_done)
        return float(level * np.quantile(_reference(self.kind), 1 - wanted))
