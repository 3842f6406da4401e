"""Invented box clickers: how one rings, and how it is pressed and let go."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from tests.generator.soundcraft import RATE_HZ, Chance, Sound, band


@dataclass(frozen=True, slots=True)
class Clicker:
    """One box clicker: its ringing modes and how it is pressed and released.

    ``phases``: with which phases the modes begin when that is the same each time, else None. ``bounces``:
    later and weaker strikes of the same tongue, (after how long, how strong).
    """

    modes: NDArray[np.float64]
    burst: float
    double: bool
    release_level: float
    release_shift: float
    spacing_s: float
    spacing_sd: float
    phases: NDArray[np.float64] | None = None
    bounces: tuple[tuple[float, float], ...] = ()
    burst_s: float = 0.0012

    def snap(self, chance: Chance, *, release: bool = False) -> Sound:
        """One snap, peak about 1, 60 ms long."""
        strike = self._strike(chance, release=release)
        sound = strike.copy()
        for after_s, strength in self.bounces:
            late = round(after_s * RATE_HZ)
            sound[late:] += strength * strike[: sound.size - late]
        return np.asarray(sound / np.abs(sound).max() * (self.release_level if release else 1.0))

    def _strike(self, chance: Chance, *, release: bool) -> Sound:
        time_s = np.arange(int(0.06 * RATE_HZ)) / RATE_HZ
        shift = self.release_shift if release else 1.0
        sound = np.zeros(time_s.size)
        for number, (hz, decay_s, level) in enumerate(self.modes):
            wobble = 1.0 + 0.12 * chance.standard_normal()
            phase = chance.uniform(0, 2 * np.pi)
            if self.phases is not None:
                phase = self.phases[number]
            sound += (
                wobble * level * np.exp(-time_s / decay_s) * np.sin(2 * np.pi * hz * shift * time_s + phase)
            )
        rush = self.burst * chance.standard_normal(time_s.size) * np.exp(-time_s / self.burst_s)
        return np.asarray(sound + band(rush, 1500, 16_000))


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
    own = np.random.default_rng([round(hz) for hz in modes[:, 0]])
    bounces = tuple(
        (own.uniform(0.0008, 0.004), own.uniform(0.1, 0.7)) for _ in range(int(own.choice([0, 1, 2])))
    )
    return Clicker(
        modes,
        burst=10 ** (chance.uniform(-16, 4) / 20),
        double=bool(chance.random() < 0.85),
        release_level=chance.uniform(0.4, 1.2),
        release_shift=chance.uniform(0.93, 1.07),
        spacing_s=chance.uniform(0.065, 0.30),
        spacing_sd=chance.uniform(0.05, 0.2),
        phases=own.uniform(0, 2 * np.pi, count) if own.random() < 0.5 else None,
        bounces=bounces,
        burst_s=np.exp(own.uniform(np.log(0.0005), np.log(0.002))),
    )
