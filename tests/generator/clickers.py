"""Invented box clickers: how one rings, and how it is pressed and let go."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, band


@dataclass(frozen=True, slots=True)
class Clicker:
    """One box clicker: its ringing modes and how it is pressed and released."""

    modes: NDArray[np.float64]
    burst: float
    double: bool
    release_level: float
    release_shift: float
    spacing_s: float
    spacing_sd: float

    def snap(self, chance: Chance, *, release: bool = False) -> Sound:
        """One snap, peak about 1, 60 ms long."""
        time_s = np.arange(int(0.06 * RATE_HZ)) / RATE_HZ
        shift = self.release_shift if release else 1.0
        sound = np.zeros(time_s.size)
        for hz, decay_s, level in self.modes:
            wobble = 1.0 + 0.12 * chance.standard_normal()
            phase = chance.uniform(0, 2 * np.pi)
            sound += (
                wobble * level * np.exp(-time_s / decay_s) * np.sin(2 * np.pi * hz * shift * time_s + phase)
            )
        rush = self.burst * chance.standard_normal(time_s.size) * np.exp(-time_s / 0.0012)
        sound += band(rush, 1500, 16_000)
        return np.asarray(sound / np.abs(sound).max() * (self.release_level if release else 1.0))


def draw_clicker(chance: Chance) -> Clicker:
    """Any clicker: metal or plastic, single or double snap."""
    count = int(chance.integers(3, 7))
    modes = np.stack(
        [
            np.exp(chance.uniform(np.log(1800), np.log(9000), count)),
            np.exp(chance.uniform(np.log(0.0015), np.log(0.012), count)),
            10 ** (chance.uniform(-14, 0, count) / 20),
        ],
        axis=1,
    )
    return Clicker(
        modes,
        burst=10 ** (chance.uniform(-16, 4) / 20),
        double=bool(chance.random() < 0.85),
        release_level=chance.uniform(0.4, 1.2),
        release_shift=chance.uniform(0.93, 1.07),
        spacing_s=chance.uniform(0.065, 0.30),
        spacing_sd=chance.uniform(0.05, 0.2),
    )
