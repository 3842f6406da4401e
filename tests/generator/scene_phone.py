"""How the phone moves in a scene: on a stand, in a hand, jolted, put down for some seconds."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Vector = NDArray[np.float64]
STEP_S = 0.01


@dataclass(frozen=True)
class Hold:
    """``shake_px``, ``move_m``: how it wanders; ``jolts``: in a second; ``away``: how often put down."""

    shake_px: float = 0.0
    move_m: float = 0.0
    jolts: float = 0.0
    away: int = 0


@dataclass(frozen=True)
class Way:
    """Turn (columns, rows in px, roll in rad) and shift of the phone (3,) in m, every `STEP_S`."""

    turn: Vector
    move: Vector
    still: bool
    away: list[tuple[float, float]] = field(default_factory=list)

    def at(self, at_s: float) -> tuple[Vector, Vector]:
        """Turn and shift at a time; none at its start."""
        if self.still:
            return self.turn[0], self.move[0]
        place = min(at_s / STEP_S, len(self.turn) - 1.001)
        i, share = int(place), place - int(place)
        return (
            (1 - share) * self.turn[i] + share * self.turn[i + 1],
            (1 - share) * self.move[i] + share * self.move[i + 1],
        )


def draw_way(chance: np.random.Generator, length_s: float, hold: Hold) -> Way:
    """A way of the phone that begins where the regions were drawn."""
    count = round(length_s / STEP_S) + 2
    if hold.shake_px == 0:
        return Way(np.zeros((count, 3)), np.zeros((count, 3)), True)
    turn = _wander(chance, count, 0.6) * hold.shake_px + _wander(chance, count, 0.06) * 0.12 * hold.shake_px
    turn[:, 2] *= 0.0015
    move = _wander(chance, count, 0.8) * hold.move_m
    for at in np.flatnonzero(chance.random(count) < hold.jolts * STEP_S):
        long = int(chance.integers(8, 25))
        push = chance.normal(size=2) * chance.uniform(6, 16)
        swing = np.exp(-np.arange(count - at) / long) * np.sin(np.arange(count - at) / long * 2)
        turn[at:, :2] += push * swing[:, None]
    turn -= turn[0].copy()
    move -= move[0].copy()
    away: list[tuple[float, float]] = []
    for _ in range(hold.away):
        start = chance.uniform(0.3, 0.6) * length_s
        end = min(start + chance.uniform(2, 4), length_s - 3)
        clock = np.arange(count) * STEP_S
        down = np.clip((clock - start) / 0.5, 0, 1) * np.clip((end - clock) / 0.5, 0, 1)
        turn[:, 1] += 900 * down
        turn[:, :2] += np.clip((clock - end) / 0.5, 0, 1)[:, None] * chance.uniform(-5, 5, 2)
        away.append((start + 0.2, end - 0.2))
    return Way(turn, move, False, away)


def _wander(chance: np.random.Generator, count: int, smooth_s: float) -> Vector:
    noise = ndimage.gaussian_filter1d(chance.normal(size=(count, 3)), smooth_s / STEP_S, axis=0)
    return np.asarray(noise / noise.std(axis=0))
